use quern_calc::findings::Severity::{Note, Warn};
use quern_calc::formula::{Form, PhaseKind, PhaseTemperature};

use crate::bench::{bar, bench, liquid, lotion};

#[test]
fn gums_are_wetted_first() {
    let with = |gum: &str, glycerin: &str| {
        lotion().water(&[("aqua", "80"), (gum, "0.5"), ("glycerin-99-5", glycerin)])
    };
    for gum in ["xanthan-gum", "hydroxyethylcellulose", "cellulose-gum"] {
        with(gum, "1.5").silent("gum-not-wetted");
        with(gum, "1.49").says("gum-not-wetted", Warn);
    }
    with("carbomer", "1").silent("gum-not-wetted");
    // A method that says how settles it; glycerine in another phase does not.
    with("xanthan-gum", "1").step("Sprinkle the gum on the vortex").silent("gum-not-wetted");
    lotion()
        .water(&[("aqua", "80"), ("xanthan-gum", "0.5")])
        .cool(&[("glycerin-99-5", "5")])
        .says("gum-not-wetted", Warn);
    // In oil there is nothing to swell in.
    lotion()
        .water(&[("aqua", "80")])
        .melt(&[("caprylic-capric-triglyceride", "10"), ("xanthan-gum", "0.5")])
        .silent("gum-not-wetted");
}

#[test]
fn zinc_oxide_makes_soap_of_fatty_acids() {
    bar()
        .melt(&[("stearic-acid-50-type", "10"), ("zinc-oxide", "3")])
        .says("zinc-with-fatty-acid", Warn);
    bar().melt(&[("stearyl-alcohol", "10"), ("zinc-oxide", "3")]).silent("zinc-with-fatty-acid");
    // Clay in a dry melt with stearic acid is an everyday bar.
    bar().melt(&[("stearic-acid-50-type", "10"), ("kaolin", "8")]).silent("powder-binds");
    bar().melt(&[("stearic-acid-50-type", "10"), ("kaolin", "8")]).silent("zinc-with-fatty-acid");
}

#[test]
fn clays_bind_dehydroacetic_acid_and_edta_in_water() {
    let with = |water: &str, powder: &str| {
        lotion().water(&[
            ("aqua", water),
            (powder, "5"),
            ("benzyl-alcohol-and-dehydroacetic-acid", "0.8"),
        ])
    };
    with("60", "kaolin").says("powder-binds", Warn);
    with("60", "zinc-oxide").says("powder-binds", Warn);
    // The blend brings 0.04 % water of its own.
    with("4.96", "kaolin").silent("powder-binds");
    with("4.97", "kaolin").says("powder-binds", Warn);
    with("60", "mica").silent("powder-binds");
    let edta = [("aqua", "60"), ("bentonite", "5"), ("disodium-edta-dihydrate", "0.1")];
    lotion().water(&edta).says("powder-binds", Warn);
}

#[test]
fn iron_colours_with_hydroxamic_acid() {
    let with = |powder: &str| bar().melt(&[(powder, "3"), ("caprylhydroxamic-acid", "0.1")]);
    with("illite").says("iron-with-hydroxamic", Warn);
    with("ci-77491").says("iron-with-hydroxamic", Warn);
    with("kaolin").silent("iron-with-hydroxamic");
}

#[test]
fn starch_swells_in_hot_water_and_is_said_once() {
    let rule = "starch-in-hot-water";
    let at = |celsius: f64, water: &str| {
        lotion().changed("zea-mays-starch", |m| m.heat_limit_c = None).phase(
            PhaseKind::Water,
            PhaseTemperature::HeatTo(celsius),
            &[("aqua", water), ("zea-mays-starch", "5")],
        )
    };
    at(62.0, "60").silent(rule);
    at(62.5, "60").says(rule, Warn);
    at(75.0, "5").silent(rule);
    at(75.0, "5.01").says(rule, Warn);
    // With a heat limit of its own, that is what speaks.
    let limited = lotion().phase(
        PhaseKind::Water,
        PhaseTemperature::HeatTo(75.0),
        &[("aqua", "60"), ("zea-mays-starch", "5")],
    );
    limited.silent(rule);
}

#[test]
fn plant_powders_load_a_wet_product() {
    let with = |water: &str, shell: &str| {
        bench(Form::JarScrub).water(&[
            ("aqua", water),
            ("zea-mays-starch", "5"),
            ("olea-europaea-seed-powder-medium-200-600-um", shell),
        ])
    };
    with("30", "10").silent("wet-powder-load");
    with("30", "10.1").says("wet-powder-load", Warn);
    with("5", "40").silent("wet-powder-load");
    let salt = [("aqua", "30"), ("sodium-chloride-fine-400-um", "40")];
    bench(Form::JarScrub).water(&salt).silent("wet-powder-load");
}

#[test]
fn shells_carry_spores_until_a_note_says_otherwise() {
    let shell = "juglans-regia-shell-powder-fine-under-250-um";
    bar().melt(&[("aqua", "5"), (shell, "3")]).says("shell-microbes", Note);
    bar().melt(&[("aqua", "5.01"), (shell, "3")]).says("shell-microbes", Warn);
    bar()
        .changed(shell, |m| m.notes = "Microbial certificate of 3 March: below 100 per gram".into())
        .melt(&[("aqua", "20"), (shell, "3")])
        .silent("shell-microbes");
    bar().melt(&[("aqua", "20"), ("pumice-fine-60-um", "3")]).silent("shell-microbes");
}

#[test]
fn much_powder_needs_fat() {
    let with = |powder: &str, fat: &str| bar().melt(&[("kaolin", powder), ("cetyl-alcohol", fat)]);
    with("40", "14").silent("powder-too-dry");
    with("40.01", "14.99").says("powder-too-dry", Warn);
    with("40.01", "15").silent("powder-too-dry");
    bench(Form::Powder).melt(&[("kaolin", "90")]).silent("powder-too-dry");
}

#[test]
fn powder_to_fat_is_not_guessed_for_what_has_no_state() {
    let with = |percent: &str| {
        bar().own("Mystery Blend", |_| {}).melt(&[
            ("kaolin", "45"),
            ("cetyl-alcohol", "10"),
            ("mystery blend", percent),
        ])
    };
    with("4.9").says("powder-too-dry", Warn);
    with("5").silent("powder-too-dry");
    assert!(with("5").says("powder-too-dry-unchecked", Note).said().contains("Mystery Blend"));
    liquid().water(&[("aqua", "90")]).silent("powder-too-dry-unchecked");
}

//! Mixes and swaps.

use super::*;

#[test]
fn a_pair_runs_along_the_index_of_the_engine() {
    let bench = Bench::new();
    let shown =
        json(&bench, &["--pair", PUMICE, BEADS, "--most", "5%", "--cut", "300", "--solve", "30"]);
    let dune_now = of(&bench.project, "Dune");
    let density = evaluated(&bench.project, dune_now).paste.density.unwrap();
    let grains = |shares: &[Value]| -> Vec<Grain> {
        [PUMICE, BEADS]
            .iter()
            .zip(shares)
            .map(|(id, share)| grain(&bench.project, id, 5.0 * share.as_f64().unwrap()))
            .collect()
    };
    assert_eq!(list(&shown["points"]).len(), 51);
    for point in list(&shown["points"]).iter().step_by(7) {
        let grains = grains(list(&point["shares"]));
        near(&point["index"], grit(&grains, density, &GritModel::REFERENCE).index);
        near(&point["above_cut_percent"], 100.0 * fraction_above(&grains, 300.0));
        let sum: Percent = list(&point["percents"]).iter().map(percent).sum();
        assert_eq!(sum, Percent(Decimal::from(5)));
    }
    let met = list(&shown["wanted"]["met"]);
    assert_eq!(met.len(), 1);
    let blend: Vec<(MaterialId, Percent)> = list(&met[0]["exfoliants"])
        .iter()
        .map(|x| (MaterialId::new(x["id"].as_str().unwrap()), percent(&x["percent"])))
        .collect();
    let put_in = with_blend(dune_now, &bench.project.library(), &blend).unwrap();
    let e = evaluated(&bench.project, &put_in);
    near(&met[0]["index"], e.grains.as_ref().unwrap().grit.index);
    near(&met[0]["cost_per_100g"], blend_cost(&e).unwrap());
    let text = dune(&bench, &["--pair", PUMICE, BEADS, "--solve", "500"]);
    assert!(text.text().contains("No mix of the two has index 500"));
    let rows =
        text.text().lines().filter(|l| l.trim_start().starts_with(|c: char| c.is_ascii_digit()));
    assert_eq!(rows.count(), 11);
}

fn grain(project: &Project, id: &str, percent: f64) -> Grain {
    let material = &project.materials[&MaterialId::new(id)];
    let data = &material.grain.as_ref().unwrap().value;
    Grain {
        size: quern_calc::grit::GrainSize::fit(data.sizes_in_use()).unwrap(),
        density_g_ml: material.density_solid.as_ref().unwrap().value,
        hardness_mpa: data.hardness_mpa,
        angularity: data.angularity,
        dissolves_um_per_s: data.dissolves_um_per_s,
        percent,
    }
}

#[test]
fn a_map_holds_every_mix_of_three() {
    let bench = Bench::new();
    let shown = json(&bench, &["--map", PUMICE, BEADS, RICE, "--most", "4%"]);
    let density = evaluated(&bench.project, of(&bench.project, "Dune")).paste.density.unwrap();
    assert_eq!(list(&shown["points"]).len(), 231);
    for point in list(&shown["points"]).iter().step_by(13) {
        let shares: Vec<f64> = list(&point["shares"]).iter().map(|s| s.as_f64().unwrap()).collect();
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let grains: Vec<Grain> = [PUMICE, BEADS, RICE]
            .iter()
            .zip(&shares)
            .map(|(id, s)| grain(&bench.project, id, 4.0 * s))
            .collect();
        near(&point["index"], grit(&grains, density, &GritModel::REFERENCE).index);
    }
    let text = dune(&bench, &["--map", PUMICE, BEADS, RICE, "--most", "4%"]);
    assert!(text.text().contains("A \\ B"), "{}", text.text());
}

#[test]
fn a_swap_comes_in_three_ways() {
    let bench = Bench::new();
    let shown = json(&bench, &["--swap", "rice powder, fine", "--for", PUMICE]);
    let dune_now = of(&bench.project, "Dune");
    let line = line_of(dune_now, RICE);
    let before = evaluated(&bench.project, dune_now);
    near(&shown["before"]["index"], before.grains.as_ref().unwrap().grit.index);
    let ways = swap_options(dune_now, &bench.project.library(), line, &MaterialId::new(PUMICE));
    for (row, way) in list(&shown["ways"]).iter().zip(&ways) {
        assert_eq!(row["keep"], way.keep.name());
        let (after, load) = way.result.as_ref().unwrap();
        assert_eq!(percent(&row["after"]["line_percent"]), *load);
        let e = evaluated(&bench.project, after);
        near(&row["after"]["index"], e.grains.as_ref().unwrap().grit.index);
        near(&row["after"]["cost_per_100g"], blend_cost(&e).unwrap());
        let change = effect(&before, &e);
        assert_eq!(row["inci_come"], serde_json::json!(change.inci_come));
        assert_eq!(row["inci_go"], serde_json::json!(change.inci_go));
        let titles: Vec<String> =
            change.findings_come.iter().map(|f| f.words(STYLE).title).collect();
        let shown: Vec<&str> =
            list(&row["findings_come"]).iter().map(|f| f["title"].as_str().unwrap()).collect();
        assert_eq!(shown, titles);
    }
    let text = dune(&bench, &["--swap", RICE, "--for", PUMICE]);
    for part in ["keeping the index", "INCI names that come: Pumice", "Findings that go: "] {
        assert!(text.text().contains(part), "{part} in {}", text.text());
    }
    // One way that cannot be had is told; the others stand.
    let text = dune(&bench, &["--swap", RICE, "--for", "Cellulose beads"]);
    assert!(text.text().contains("Not possible: a price is missing"), "{}", text.text());
    let shown = json(&bench, &["--swap", RICE, "--for", "Cellulose beads"]);
    assert!(shown["ways"][2]["after"].is_null() && !shown["ways"][1]["after"].is_null());
}

//! Time of the numeric models, against the budgets of the design: grit index at most 5 us, one
//! blend solve at most 0.5 ms, all sets of up to 3 of 8 at most 50 ms, a map of 5,000 mixes within
//! one frame (16 ms), melt curve of 200 points at most 50 us (12 pure solids) and 300 us (mixed crystals),
//! lumped cooling at most 0.1 ms, a slab at most 20 ms.

use divan::{Bencher, black_box};
use quern_calc::grit::blend::{Grain, stats};
use quern_calc::grit::index::{GritModel, grit};
use quern_calc::grit::map::{MixMap, STEPS, View};
use quern_calc::grit::sizes::{GrainSize, SizeData};
use quern_calc::grit::solve::{Ask, Candidate, Prefer, solve, solve_set};
use quern_calc::grit::spread::spread;
use quern_calc::grit::surface::{IndexSurface, Stage};
use quern_calc::grit::table::{SieveRow, SieveTable, fit};
use quern_calc::setting::cooling::{Cooling, Enthalpy};
use quern_calc::setting::melt::{Crystal, FatComponent, curve, stack, temperature_at_solid};
use quern_calc::setting::table::SolidTable;

fn main() {
    divan::main();
}

fn grains(dissolves: bool) -> Vec<Grain> {
    let rows = [
        (299.0, 0.313, 1.35, 250.0, 0.6),
        (354.0, 0.21, 0.90, 15.0, 0.0),
        (350.0, 0.35, 1.587, 600.0, 0.55),
    ];
    rows.into_iter()
        .filter_map(|(d50_um, sigma, density_g_ml, hardness_mpa, angularity)| {
            let size = GrainSize::fit(&SizeData::Lognormal { d50_um, sigma }).ok()?;
            let dissolves_um_per_s = (dissolves && hardness_mpa > 500.0).then_some(10.0);
            Some(Grain {
                size,
                density_g_ml,
                hardness_mpa,
                angularity,
                dissolves_um_per_s,
                percent: 4.0,
            })
        })
        .collect()
}

/// (mass, molar mass, melting point in C, heat in kJ/mol, group)
type Row = (f64, f64, f64, f64, Option<u8>);

fn fat(rows: &[Row], oil: f64) -> Vec<FatComponent> {
    let solids = rows.iter().map(|&(mass, molar_mass, tm_c, kj, group)| FatComponent {
        moles: mass / molar_mass,
        molar_mass,
        crystal: Some(Crystal { tm_k: tm_c + 273.15, dh_j_mol: kj * 1e3, group }),
    });
    solids
        .chain([FatComponent { moles: oil / 885.43, molar_mass: 885.43, crystal: None }])
        .collect()
}

fn twelve() -> Vec<FatComponent> {
    let rows = [
        (1.0, 172.26, 31.39, 27.8, None),
        (1.0, 200.32, 43.82, 36.3, None),
        (1.0, 228.37, 54.16, 45.1, None),
        (1.0, 256.42, 62.49, 53.7, None),
        (1.0, 284.48, 69.30, 61.2, None),
        (1.0, 340.58, 80.60, 78.0, None),
        (1.0, 242.44, 49.30, 33.6, None),
        (1.0, 270.49, 58.00, 45.0, None),
        (1.0, 480.85, 54.00, 96.0, None),
        (1.0, 891.48, 73.00, 197.5, None),
        (1.0, 862.00, 36.00, 140.0, None),
    ];
    fat(&rows, 1.0)
}

fn seven(acids: Option<u8>) -> Vec<FatComponent> {
    let rows = [
        (6.0, 256.42, 62.49, 53.7, acids),
        (6.0, 284.48, 69.30, 61.2, acids),
        (1.8, 242.44, 49.30, 33.6, Some(0)),
        (4.2, 270.49, 58.00, 45.0, Some(0)),
        (6.0, 430.0, 56.0, 60.0, None),
        (3.2, 862.0, 36.0, 140.0, None),
    ];
    fat(&rows, 12.8)
}

#[divan::bench]
fn grit_three_by_twenty(bencher: Bencher) {
    let (grains, model) = (grains(false), GritModel::REFERENCE);
    bencher.bench_local(|| grit(black_box(&grains), 1.15, black_box(&model)));
}

#[divan::bench]
fn grit_three_by_twenty_one_dissolves(bencher: Bencher) {
    let (grains, model) = (grains(true), GritModel::REFERENCE);
    bencher.bench_local(|| grit(black_box(&grains), 1.15, black_box(&model)));
}

#[divan::bench]
fn blend_stats_three(bencher: Bencher) {
    let grains = grains(false);
    bencher.bench_local(|| stats(black_box(&grains)));
}

#[divan::bench]
fn melt_curve_200_twelve_pure(bencher: Bencher) {
    let fat = twelve();
    bencher.bench_local(|| curve(black_box(&fat), 10.0, 80.0, 200));
}

/// The acids in one mixed crystal, the alcohols in another.
fn twelve_in_groups() -> Vec<FatComponent> {
    let mut fat = twelve();
    for (i, c) in fat.iter_mut().enumerate() {
        if let Some(crystal) = &mut c.crystal {
            crystal.group = match i {
                0..=5 => Some(0),
                6 | 7 => Some(1),
                _ => None,
            };
        }
    }
    fat
}

#[divan::bench]
fn melt_curve_200_twelve_two_groups(bencher: Bencher) {
    let fat = twelve_in_groups();
    bencher.bench_local(|| curve(black_box(&fat), 10.0, 80.0, 200));
}

/// With the share of each component, as the chart draws it.
#[divan::bench]
fn melt_layers_181_twelve_two_groups(bencher: Bencher) {
    let fat = twelve_in_groups();
    bencher.bench_local(|| stack(black_box(&fat), 0.0, 90.0, 181));
}

/// A bar of 30 mm from 75 to 32 °C over the enthalpy of a 200-point curve.
fn bar() -> (Cooling, Enthalpy) {
    let points = curve(&seven(None), 0.0, 90.0, 200);
    let enthalpy = Enthalpy::of_fat(&points, 0.4, 190e3, 1_700.0);
    let cooling = Cooling {
        density: 1_150.0,
        volume_over_area: 0.015,
        depth: 0.015,
        h: 7.5,
        k: 0.25,
        air_c: 21.0,
    };
    (cooling, enthalpy.unwrap_or_else(|| std::process::abort()))
}

#[divan::bench]
fn cooling_lumped(bencher: Bencher) {
    let (cooling, enthalpy) = bar();
    bencher.bench_local(|| cooling.lumped(black_box(&enthalpy), 75.0, 32.0));
}

#[divan::bench]
fn cooling_slab_30_layers(bencher: Bencher) {
    let (cooling, enthalpy) = bar();
    bencher.bench_local(|| cooling.slab(black_box(&enthalpy), 75.0, 32.0, 30));
}

/// A supplier's table of six rows, fitted with two crystals.
#[divan::bench]
fn solid_fat_table_fit(bencher: Bencher) {
    let rows = [(10.0, 80.0), (20.0, 76.0), (25.0, 70.0), (30.0, 45.0), (32.5, 15.0), (35.0, 1.0)];
    let table = SolidTable { rows: rows.to_vec() };
    bencher.bench_local(|| black_box(&table).fit(862.0, 140.0));
}

#[divan::bench]
fn melt_curve_200_seven_alcohols_mixed(bencher: Bencher) {
    let fat = seven(None);
    bencher.bench_local(|| curve(black_box(&fat), 10.0, 80.0, 200));
}

#[divan::bench]
fn melt_curve_200_seven_two_groups(bencher: Bencher) {
    let fat = seven(Some(1));
    bencher.bench_local(|| curve(black_box(&fat), 10.0, 80.0, 200));
}

#[divan::bench]
fn t99_seven_alcohols_mixed(bencher: Bencher) {
    let fat = seven(None);
    bencher.bench_local(|| temperature_at_solid(black_box(&fat), 0.01));
}

/// Eight exfoliants with prices, as a workshop may hold them.
fn candidates() -> Vec<Candidate> {
    let rows = [
        (299.0, 0.313, 1.35, 250.0, 0.60, 0.012, 5.0),
        (354.0, 0.21, 0.90, 15.0, 0.0, 0.040, 6.0),
        (120.0, 0.40, 1.35, 250.0, 0.60, 0.014, 5.0),
        (200.0, 0.40, 1.50, 150.0, 0.35, 0.009, 5.0),
        (150.0, 0.50, 1.45, 250.0, 0.55, 0.018, 4.0),
        (350.0, 0.35, 1.35, 280.0, 0.60, 0.011, 5.0),
        (400.0, 0.45, 1.45, 150.0, 0.40, 0.020, 4.0),
        (250.0, 0.55, 1.40, 40.0, 0.30, 0.006, 6.0),
    ];
    rows.into_iter()
        .filter_map(|(d50_um, sigma, density_g_ml, hardness_mpa, angularity, cost, most)| {
            let size = GrainSize::fit(&SizeData::Lognormal { d50_um, sigma }).ok()?;
            Some(Candidate {
                grain: Grain {
                    size,
                    density_g_ml,
                    hardness_mpa,
                    angularity,
                    dissolves_um_per_s: None,
                    percent: 1.0,
                },
                cost: Some(cost),
                least: 0.0,
                most,
                held: false,
                barred: false,
            })
        })
        .collect()
}

fn ask(kinds: (usize, usize), prefer: Prefer) -> Ask {
    Ask { index: 30.0, stage: Stage::Dry, total: (0.0, 6.0), size: None, kinds, prefer }
}

/// Yardstick: the exponentials of one index, which nothing can do without.
#[divan::bench]
fn yardstick_sixty_exponentials(bencher: Bencher) {
    let xs: Vec<f64> = (0..60).map(|i| -f64::from(i) / 60.0).collect();
    bencher.bench_local(|| black_box(&xs).iter().map(|x| libm::exp(*x)).sum::<f64>());
}

#[divan::bench]
fn index_surface_three_by_twenty(bencher: Bencher) {
    let surface = IndexSurface::new(&grains(false), 1.15, &GritModel::REFERENCE, Stage::Dry);
    bencher.bench_local(|| surface.index(black_box(&[2.0, 1.0, 3.0])));
}

#[divan::bench(args = [Prefer::Cheapest, Prefer::Least, Prefer::Nearest])]
fn solve_one_set_of_three(bencher: Bencher, prefer: Prefer) {
    let all = candidates();
    let three = all.get(..3).unwrap_or_default();
    let ask = ask((3, 3), prefer);
    bencher.bench_local(|| solve_set(black_box(three), 1.15, &GritModel::REFERENCE, &ask));
}

#[divan::bench(args = [Prefer::Cheapest, Prefer::Least, Prefer::Nearest])]
fn solve_all_sets_of_eight(bencher: Bencher, prefer: Prefer) {
    let all = candidates();
    let ask = ask((1, 3), prefer);
    bencher.bench_local(|| solve(black_box(&all), 1.15, &GritModel::REFERENCE, &ask));
}

#[divan::bench]
fn map_of_five_thousand_mixes(bencher: Bencher) {
    let all = candidates();
    let grain = |i: usize| all.get(i).map_or(GritModel::REFERENCE.reference, |c| c.grain);
    let view = View {
        density_g_ml: 1.15,
        model: GritModel::REFERENCE,
        stage: Stage::Dry,
        above_um: Some(500.0),
        held: Vec::new(),
    };
    let three = [grain(0), grain(1), grain(4)];
    bencher.bench_local(|| MixMap::new(black_box(three), [Some(0.01); 3], 6.0, &view, STEPS));
}

#[divan::bench]
fn spread_of_sixty_four_draws(bencher: Bencher) {
    let grains = grains(false);
    bencher.bench_local(|| spread(black_box(&grains), 1.15));
}

#[divan::bench]
fn sieve_table_of_six(bencher: Bencher) {
    let rows =
        [(850.0, 1.2), (600.0, 7.9), (425.0, 24.6), (300.0, 33.0), (212.0, 21.1), (150.0, 8.8)];
    let rows = rows.map(|(opening_um, kept)| SieveRow { opening_um, kept }).to_vec();
    let table = SieveTable { rows, pan: 3.4, sample: Some(100.0) };
    bencher.bench_local(|| fit(black_box(&table)));
}

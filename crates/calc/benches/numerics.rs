//! Time of the numeric models, against the budgets of the design: grit index at most 5 us, melt
//! curve of 200 points at most 50 us (12 pure solids) and 300 us (7 components, mixed crystals).

use divan::{Bencher, black_box};
use quern_calc::grit::blend::{Grain, stats};
use quern_calc::grit::index::{GritModel, grit};
use quern_calc::grit::sizes::{GrainSize, SizeData};
use quern_calc::setting::melt::{Crystal, FatComponent, curve, temperature_at_solid};

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

//! `cargo bench -p elbowroom-speed`: a footstep, an evening, setting up, many evenings, whole
//! questions. Seeds are fixed; timings on a shared machine are noisy, so compare two builds in one
//! sitting.
#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{BatchSize, Criterion, SamplingMode, criterion_group, criterion_main};
use elbowroom_speed::{demo, with_guests};
use sim::base::parallel::with_threads;
use sim::base::units::Point;
use sim::crowd::bodies::{Body, Doing, Floor};
use sim::crowd::trial::{Keep, run};
use sim::crowd::walk::{Eyes, step};
use sim::evening::scenario::Serves;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::capacity::effort::Effort as Search;
use sim::study::ensemble::simulate;
use sim::study::race::Effort;
use sim::study::{capacity, improve, where_to};
use std::hint::black_box;
use std::time::Duration;

/// One step of somebody who walks through the dining room among so many who stand about.
fn footstep(c: &mut Criterion) {
    let world = with_guests("winter-cocktails", 40);
    for others in [0usize, 20, 100] {
        let mut floor = Floor::new(&world.plan, &world.grid, false);
        let stands = world.routes.stands(&world.grid);
        for i in 0..others {
            let at = stands[(i * stands.len()) / others].1.point;
            let body = Body::standing(i as u32 + 1, at, 1.1, 0).while_doing(Doing::Talk);
            floor.enter(body);
        }
        let (from, to) = (stands[stands.len() / 3].1, stands[2 * stands.len() / 3].1);
        let beside = Point { x: from.point.x + 200, y: from.point.y };
        let id = floor.enter(Body::standing(0, beside, 1.1, 0));
        let mut eyes = Eyes::default();
        c.bench_function(&format!("footstep among {others}"), |b| {
            b.iter(|| black_box(step(&floor, &world, &mut eyes, id, &to, 0)));
        });
    }
}

fn evening(c: &mut Criterion) {
    let mut group = c.benchmark_group("evening");
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    for guests in [10, 20, 40, 60, 100] {
        let world = with_guests("winter-cocktails", guests);
        run(&world, 1, 0, Keep::default());
        let mut trial = 0;
        group.bench_function(format!("{guests} guests"), |b| {
            b.iter(|| {
                trial += 1;
                black_box(run(&world, 1, trial % 8, Keep::default()))
            });
        });
    }
}

fn setting_up(c: &mut Criterion) {
    for name in ["winter-cocktails", "summer-evening"] {
        let Loaded { plan, scenario, .. } = demo(name);
        c.bench_function(&format!("set up {name}"), |b| {
            b.iter_batched(
                || (plan.clone(), scenario.clone()),
                |(plan, scenario)| black_box(World::new(plan, scenario)).is_ok(),
                BatchSize::LargeInput,
            );
        });
    }
}

fn many_evenings(c: &mut Criterion) {
    let mut group = c.benchmark_group("64 evenings");
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    let world = with_guests("winter-cocktails", 40);
    for threads in [1, 2] {
        group.bench_function(format!("{threads} threads"), |b| {
            b.iter(|| {
                with_threads(Some(threads), || black_box(simulate(&world, 1, 0..64, &())).len())
            });
        });
    }
}

/// Whole questions on the buffet, in full: minutes.
fn questions(c: &mut Criterion) {
    let mut group = c.benchmark_group("question");
    group
        .sampling_mode(SamplingMode::Flat)
        .sample_size(10)
        .measurement_time(Duration::from_secs(1));
    let loaded = demo("buffet-dinner");
    let world = || World::new(loaded.plan.clone(), loaded.scenario.clone()).unwrap();
    group.bench_function("capacity", |b| {
        let asked =
            || capacity::Asked { place: None, all_grades: true, seed: 1, effort: Search::WHOLE };
        b.iter(|| capacity::answer(&loaded.plan, &loaded.scenario, asked(), &()).is_ok());
    });
    group.bench_function("where", |b| {
        b.iter(|| {
            where_to::answer(&loaded, world(), Serves::Food, 1, Effort::of(100), &()).is_ok()
        });
    });
    group.bench_function("improve", |b| {
        let asked = improve::Asked::Most(None);
        b.iter(|| improve::answer(&loaded, world(), asked, 1, Effort::of(100), &()).best.len());
    });
}

criterion_group!(parts, footstep, evening, setting_up, many_evenings);
criterion_group!(whole, questions);
criterion_main!(parts, whole);

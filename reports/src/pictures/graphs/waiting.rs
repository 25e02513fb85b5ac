//! Waits by spot, and the length of each line through the evening with its band.

use crate::pictures::Mount;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, fitted};
use crate::pictures::draw::style::*;
use crate::pictures::house::{explain, foot, head};
use crate::words;
use sim::crowd::measure::BIN;
use sim::evening::scenario::Serves;
use sim::floor::world::{SpotId, World};
use sim::study::ensemble::Ensemble;
use sim::study::evening::{Evening, SpotReport, Subject, bound_asked};

/// Height of a row of waits, and of a small chart.
const ROW: f64 = 56.0;
const SMALL_CHART: f64 = 128.0;

/// Lines that stay under so many people on 9 evenings in 10 are not drawn.
const WORTH_DRAWING: f64 = 0.5;

/// Waits and lines.
pub fn lines(
    world: &World,
    trials: &Ensemble,
    evening: &Evening,
    mount: Mount,
) -> Result<String, Undrawn> {
    let spots: Vec<&SpotReport> = evening
        .spots
        .iter()
        .filter(|s| s.visits.value > 0.0 && world.spots[s.spot].serves != Serves::Door)
        .collect();
    let mut sheet = Sheet::new();
    let y = head(
        &mut sheet,
        mount,
        "How long people wait",
        "9 visits in 10 wait less than the bar; whiskers show how sure that is; the red mark is your limit",
    );
    let y = waits(&mut sheet, world, &spots, y + 6.0);
    let y = sheet.paragraph(
        (MARGIN, y + 20.0),
        "How long the lines get",
        TEXT + 3.0,
        WIDTH - 2.0 * MARGIN,
        INK,
        true,
    );
    let says =
        "People in line through the evening: a typical evening, and the range of 8 evenings in 10";
    let mut y = explain(&mut sheet, mount, y, says);
    let most = spots.iter().map(|s| highest(trials, s.spot)).fold(1.0, f64::max).ceil();
    y += 4.0;
    let (drawn, short): (Vec<&SpotReport>, Vec<&SpotReport>) =
        spots.iter().partition(|s| highest(trials, s.spot) >= WORTH_DRAWING);
    for s in drawn {
        y = small_chart(&mut sheet, world, trials, s, most, y);
    }
    if !short.is_empty() {
        let names: Vec<String> = short.iter().map(|s| words::spot(world, s.spot)).collect();
        let says = format!("Hardly ever a line: {}", names.join(", "));
        y = sheet.paragraph((MARGIN, y + 14.0), &says, SMALL, WIDTH - 2.0 * MARGIN, INK, false);
    }
    foot(&mut sheet, y, mount);
    sheet.svg()
}

fn waits(sheet: &mut Sheet, world: &World, spots: &[&SpotReport], top: f64) -> f64 {
    let bound = |s: &SpotReport| bound_asked(world, Subject::Wait(s.spot));
    let longest =
        spots.iter().map(|s| s.p90.high.max(bound(s).unwrap_or(0.0))).fold(60.0, f64::max);
    let step = [30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 3600.0]
        .into_iter()
        .find(|s| longest / s <= 5.0)
        .unwrap_or(7200.0);
    let end = (longest / step).ceil() * step;
    let (left, right) = (MARGIN, WIDTH - MARGIN - 112.0);
    let x = |seconds: f64| left + (right - left) * seconds / end;
    let bottom = top + ROW * spots.len() as f64;
    let mut tick = 0.0;
    while tick <= end + 1.0 {
        sheet.line(vec![(x(tick), top), (x(tick), bottom + 4.0)], BAND, 1.0);
        let anchor = if tick == 0.0 { Anchor::Left } else { Anchor::Middle };
        sheet.text(
            (x(tick), bottom + 18.0),
            &if tick == 0.0 { "no wait".into() } else { words::duration(tick) },
            SMALL,
            anchor,
        );
        tick += step;
    }
    for (i, s) in spots.iter().enumerate() {
        let y = top + ROW * i as f64;
        sheet.write(
            (left, y + 13.0),
            &fitted(&words::spot(world, s.spot), TEXT, right - left),
            Ink { size: TEXT, anchor: Anchor::Left, color: INK, bold: false, halo: true },
        );
        let (a, b) = (y + 28.0, y + 46.0);
        sheet.fill(vec![(left, a), (x(s.p90.value), a), (x(s.p90.value), b), (left, b)], BAR, 1.0);
        let m = (a + b) / 2.0;
        sheet.line(vec![(x(s.p90.low), m), (x(s.p90.high), m)], INK, 1.6);
        for end in [s.p90.low, s.p90.high] {
            sheet.line(vec![(x(end), m - 5.0), (x(end), m + 5.0)], INK, 1.6);
        }
        if let Some(bound) = bound(s) {
            sheet.line(vec![(x(bound), a - 4.0), (x(bound), b + 4.0)], BOUND, 3.0);
        }
        sheet.write(
            (WIDTH - MARGIN, m),
            &words::bound(s.p90.value),
            Ink { size: TEXT, anchor: Anchor::Right, color: INK, bold: true, halo: false },
        );
    }
    sheet.reach(bottom + 30.0);
    bottom + 30.0
}

fn bins(world: &World) -> usize {
    ((world.scenario.lead() + world.scenario.lasts) / f64::from(BIN)).ceil() as usize + 4
}

fn highest(trials: &Ensemble, spot: SpotId) -> f64 {
    let bins = trials.trials.iter().map(|s| s.tally.lines[spot].len()).max().unwrap_or(0);
    (0..bins).map(|b| trials.line_band(spot, b)[2]).fold(0.0, f64::max)
}

fn small_chart(
    sheet: &mut Sheet,
    world: &World,
    trials: &Ensemble,
    s: &SpotReport,
    most: f64,
    top: f64,
) -> f64 {
    let (left, right) = (MARGIN + 34.0, WIDTH - MARGIN);
    let (head, bottom) = (top + 24.0, top + SMALL_CHART - 20.0);
    let n = bins(world);
    let x = |bin: f64| left + (right - left) * bin / n as f64;
    let y = |people: f64| bottom - (bottom - head) * (people / most).min(1.0);
    sheet.write(
        (left, top + 11.0),
        &fitted(&words::spot(world, s.spot), SMALL, right - left),
        Ink { size: SMALL, anchor: Anchor::Left, color: INK, bold: true, halo: false },
    );
    let bands: Vec<[f64; 3]> = (0..n).map(|b| trials.line_band(s.spot, b)).collect();
    let over: Vec<At> =
        bands.iter().enumerate().map(|(i, b)| (x(i as f64 + 0.5), y(b[2]))).collect();
    let under: Vec<At> =
        bands.iter().enumerate().rev().map(|(i, b)| (x(i as f64 + 0.5), y(b[1]))).collect();
    sheet.fill(over.into_iter().chain(under).collect(), BAND, 1.0);
    sheet.line(
        bands.iter().enumerate().map(|(i, b)| (x(i as f64 + 0.5), y(b[0]))).collect(),
        MARK,
        2.4,
    );
    sheet.line(vec![(left, bottom), (right, bottom)], INK, 1.0);
    sheet.line(vec![(left, head), (left, bottom)], INK, 1.0);
    sheet.text((left + 6.0, head + 6.0), "people", TINY, Anchor::Left);
    for people in [0.0, most] {
        sheet.text((left - 6.0, y(people)), &format!("{people:.0}"), SMALL, Anchor::Right);
    }
    let lead = world.scenario.lead();
    let hours = (0..).map(|h| f64::from(h) * 3600.0).take_while(|h| *h <= world.scenario.lasts);
    for after in hours {
        let at = x((after + lead) / f64::from(BIN));
        sheet.line(vec![(at, bottom), (at, bottom + 4.0)], INK, 1.0);
        sheet.text(
            (at, bottom + 13.0),
            &words::clock(world.scenario.start, after as i64),
            TINY,
            Anchor::Middle,
        );
    }
    sheet.reach(top + SMALL_CHART);
    top + SMALL_CHART + 4.0
}

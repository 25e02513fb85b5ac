//! The one parameter set of walking among others; how near walls people walk is the floor's
//! (`floor/routes`). Meters, seconds, meters per second.

/// Length of a sub-step in seconds. From the prototype: 0.2 to 0.45 s give the same speeds.
pub(super) const STEP: f64 = 0.45;
/// Below this pace sub-steps are half as long again, in m/s: little changes in them.
pub(super) const SLOW: f64 = 0.50;
/// Longest sub-step of somebody whom nobody will slow within it, in seconds.
pub(super) const LONG_STEP: f64 = 0.80;
/// Share of the free pace from which nobody slows a walker.
pub(super) const UNBOUND: f64 = 0.95;
/// Shortest step taken, in meters.
pub(super) const SHORTEST: f64 = 0.04;
/// Longest step, in meters: the fastest pace for a long sub-step.
pub(super) const LONGEST: f64 = 1.40;
/// Headings whose cosine with the way is below this …
pub(super) const ASIDE: f64 = 0.50;
/// … are followed for this far at a time, in meters, and so is any by somebody who gets no farther:
/// half the width of a narrow door, so that nobody steps to and fro past it.
pub(super) const SMALL_STEP: f64 = 0.30;
/// Front-to-front distance at standstill, and time gap: h = 0.36 m + 1.06 s v (Seyfried et al.
/// 2005).
pub(super) const BODY: f64 = 0.36;
/// See [`BODY`].
pub(super) const GAP: f64 = 1.06;
/// Somebody ahead counts in full up to this lateral offset …
pub(super) const IN_LINE: f64 = 0.28;
/// … and not at all from this one: in dense streams people walk in staggered files not half a meter
/// apart (0.45 m: Hoogendoorn & Daamen 2005, from memory); a little less, an assumption, makes
/// doors and corridors pass what they pass (checks D1, F1 and L1 of `evidence`).
pub(super) const BESIDE: f64 = 0.39;
/// The offset of somebody who leads is looked at as it will be after walking for so many seconds:
/// longer, and walkers weave out of a file that is one; shorter, and streams through doors thin
/// out. Between them by checks L1 and D1.
pub(super) const LOOKS_BY: f64 = 0.21;
/// People who have been pressed for a while turn their shoulders and use every bit of an offset:
/// for them the gap shrinks from straight ahead to this offset, at which two bodies half overlap
/// (two files pass an exit of 0.70 m: HERMES 2009). The value is an assumption, between door flows
/// (D1, D1a) and densities (F1, L1).
pub(super) const BESIDE_PRESSED: f64 = 0.30;
/// Seconds under half pace after which people press. An assumption: about three paces; longer, and
/// dense streams come out slow (F1), shorter, and a dense file does not stay one (L1).
pub(super) const PRESSED_AFTER: f64 = 1.5;
/// … and while somebody comes: people who meet turn their shoulders early (Yamamoto et al. 2019,
/// Transp. Res. B 122, from memory). About one pace, an assumption: any longer, and dense streams
/// that meet lock (F2).
pub(super) const PRESSED_MEETING: f64 = 0.5;
/// A follower minds where somebody ahead will be in the middle of the step, so many seconds on: the
/// law h = l + T v holds over the step and not only at its start, when the one ahead has begun to
/// walk. Half of [`STEP`]: arithmetic, not a parameter.
pub(super) const MID_STEP: f64 = STEP / 2.0;
/// Share of the time gap that is left at the far lateral offset. Assumption.
pub(super) const GAP_BESIDE: f64 = 0.30;
/// Middles keep this far apart (chest depth of 9.8 in and some clothing: ANSUR II).
pub(super) const CORE: f64 = 0.30;
/// The same after creeping for a while.
pub(super) const CORE_CREEPING: f64 = 0.264;
/// Two turned bodies (chest to chest: ANSUR II): nobody is ever nearer.
pub(super) const CORE_TURNED: f64 = 0.234;
/// Free width, left and right together, at which a walker slows to [`SQUEEZED`].
pub(super) const TIGHT: f64 = 0.30;
/// Pace at that width.
pub(super) const SQUEEZED: f64 = 0.15;
/// Pace gained for each meter of width beyond it: 1.3 shoulder widths (0.62 m) are passed at full
/// leisure pace (Warren & Whang 1987: turning begins there).
pub(super) const PER_WIDTH: f64 = 4.0;
/// Free width looked for on either side.
pub(super) const SIDE: f64 = 0.35;
/// … from a point this far ahead.
pub(super) const LOOKS_AHEAD: f64 = 0.15;
/// People from this far behind (negative) to this far ahead take free width.
pub(super) const BESIDE_FROM: f64 = -0.25;
/// See [`BESIDE_FROM`].
pub(super) const BESIDE_TO: f64 = 0.90;
/// How much nearer to one wall than to the other a walker is without minding, each way, in meters:
/// shoulders turn a little.
pub(super) const OFF_CENTRE: f64 = 0.10;
/// Slowest pace in a tight place.
pub(super) const FLOOR_PACE: f64 = 0.075;
/// Pace past a standing or oncoming person gained for each meter of lateral offset beyond the core:
/// beside somebody half a meter away people walk at three quarters of leisure pace. Common sense;
/// no published value was found.
pub(super) const PER_OFFSET: f64 = 3.0;
/// Walkers are seen this far ahead (people begin to give way about 3.8 m ahead: Hackney et al.
/// 2013).
pub(super) const SEES_WALKERS: f64 = 3.6;
/// Standing people matter this far ahead.
pub(super) const SEES_STANDING: f64 = 1.9;
/// Nobody farther than this slows anybody: pace times gap and body.
pub(super) const SLOWS: f64 = 2.3;
/// Between its ends a step may pass a corner this much nearer than it may end.
pub(super) const CUTS_CORNERS: f32 = 0.02;
/// … but never nearer than this, so that between two looks nobody gets nearer than half a turned
/// body.
pub(super) const CORNER_LEAST: f32 = 0.115;
/// Whoever could come this near within a step is not run into, even if a wall hides them at the
/// moment.
pub(super) const MEETS: f64 = 0.40;
/// Pull to the right when somebody comes head-on, as a share of progress: half as much again as in
/// the prototype, so that it outweighs a way that leads to the inside of a bend. Assumption, by
/// check F2.
pub(super) const KEEP_RIGHT: f64 = 1.2;
/// Whoever comes pulls in full if they would pass less than this to the left, in meters: two bodies
/// would touch …
pub(super) const PULLS_FULLY: f64 = CORE;
/// … and not at all from this on, the width of a body and some room (0.60 m; shoulders of 0.46 to
/// 0.53 m: ANSUR II): whoever has passing room leaves the floor at the wall to others. Assumption.
pub(super) const PULLS_WITHIN: f64 = 0.60;
/// Somebody comes within this lateral offset.
pub(super) const COMES_WITHIN: f64 = 1.0;
/// Another heading is tried only if it could be better than the best so far by this factor.
pub(super) const WORTH_TRYING: f64 = 1.20;
/// Dislike of turning, as a share of progress for a half turn.
pub(super) const TURNING: f64 = 0.10;
/// A blocked guest looks again after this many seconds.
pub(super) const LOOK_AGAIN: f64 = 0.30;
/// Below this pace a guest counts as blocked.
pub(super) const BLOCKED_PACE: f64 = 0.10;
/// Patience in seconds before each thing a blocked guest tries.
pub(super) const SIDE_STEP_AFTER: f64 = 0.2;
/// See [`SIDE_STEP_AFTER`].
pub(super) const ASK_AFTER: f64 = 0.5;
/// See [`SIDE_STEP_AFTER`].
pub(super) const CREEP_AFTER: f64 = 1.0;
/// Two who face each other turn their shoulders and squeeze past after this long. Assumption: half
/// of the patience with anybody else, for neither will get on otherwise.
pub(super) const FACED_AFTER: f64 = 1.0;
/// See [`SIDE_STEP_AFTER`].
pub(super) const SQUEEZE_AFTER: f64 = 2.0;
/// See [`SIDE_STEP_AFTER`].
pub(super) const BACK_OUT_AFTER: f64 = 3.0;
/// Who waits for somebody so far ahead and so little aside, in meters, does not creep up on them.
pub(super) const RIGHT_AHEAD: (f64, f64) = (0.50, 0.25);
/// After this long in a clump that faces itself, one direction goes back …
pub(super) const GIVE_WAY_AFTER: f64 = 5.0;
/// … for so many seconds …
pub(super) const GIVING_WAY: f64 = 4.0;
/// … as far as this, in meters …
pub(super) const BACK: f64 = 3.0;
/// … when somebody stuck comes the other way within so many meters …
pub(super) const SEES_CLUMP: f64 = 0.9;
/// … and it is the direction along this: any rule will do that all follow.
pub(super) const YIELDS: (f64, f64) = (0.6, 0.8);
/// Who has not got on for so long, up to twice that by person, turns back a few steps: two in one
/// narrow opening let each other through, and who is shut in on one side tries the other. Common
/// practice.
pub(super) const TURNS_BACK_AFTER: f64 = 8.0;
/// … for so many seconds …
pub(super) const TURNING_BACK: f64 = 4.0;
/// … unless somebody who goes the same way is before them within so many meters.
pub(super) const CROWD_WITHIN: f64 = 0.8;
/// Share by which patience differs from person to person: the golden ratio spreads any run of
/// numbers evenly.
pub(super) const GOLDEN: f64 = 0.618_033_988_749_894_9;
/// After this long anybody who is in the way lets one past.
pub(super) const ANYBODY_AFTER: f64 = 10.0;
/// Pace of creeping.
pub(super) const CREEP: f64 = 0.12;
/// Pace of a side-step, and of standing people making room (preferred sideways pace 0.575 m/s:
/// Handford & Srinivasan 2014).
pub(super) const SIDEWAYS: f64 = 0.40;
/// Facing people this near can squeeze past each other.
pub(super) const SQUEEZE_REACH: f64 = 0.62;
/// Half the distance of two turned bodies side by side in a squeeze: a little over half of
/// [`CORE_TURNED`], so that the straight pieces of the two arcs keep it.
pub(super) const SQUEEZE_SIDE: f64 = 0.122;
/// A turned body keeps this far from a wall (half a chest depth).
pub(super) const WALL_TURNED: f32 = 0.12;
/// Pieces of each arc, and seconds for each: 1.5 s in all.
pub(super) const SQUEEZE_PIECES: usize = 6;
/// See [`SQUEEZE_PIECES`].
pub(super) const SQUEEZE_PIECE: f64 = 0.25;
/// Whoever stands so near before them, in meters, bars that way.
pub(super) const BARS: f64 = 0.60;
/// Seconds a guest keeps backing out at most.
pub(super) const BACKING: f64 = 12.0;

/// Standing people step aside for a walker whose pace they bring below this share of the free one.
/// Assumption.
pub(super) const YIELDS_BELOW: f64 = 0.7;
/// … if they are within so many meters beside the way.
pub(super) const YIELDS_ASIDE: f64 = 0.45;

/// Cosine and sine of the headings tried on either side: 0, 15, 30, 50, 70 and 90 degrees.
pub(super) const FAN: [(f64, f64); 6] = [
    (1.0, 0.0),
    (0.965_925_826_289_068_3, 0.258_819_045_102_520_76),
    (0.866_025_403_784_438_6, 0.5),
    (0.642_787_609_686_539_4, 0.766_044_443_118_978),
    (0.342_020_143_325_668_8, 0.939_692_620_785_908_4),
    (0.0, 1.0),
];

/// How near a wall a step may pass that begins and ends `margin` meters from walls.
pub(super) fn passing(margin: f32) -> f32 {
    (margin - CUTS_CORNERS).max(CORNER_LEAST.min(margin))
}

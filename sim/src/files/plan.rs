//! Plan file to what it said.

use super::decode::{Decoder, Table};
use super::node::{Node, Value};
use crate::base::units::{INCH, System};
use crate::house::plan::catalog::{CATALOG, Kind};
use crate::house::plan::made_of::{Core, Finish, MadeOf, Parking, Partition};
use crate::house::plan::said::{
    Compass, Put, Said, SaidFurniture, SaidOpening, SaidRoom, SaidSide, SaidWindow, SaidZone, Shape,
};
use crate::house::plan::{Side, Style, THICKEST_WALL, Use};
use crate::house::problem::{
    BadFile, BadKey, BadRoom, BadValue, Bounds, Expected, Needed, Problem, TwoWays,
};

const COMPASS: [&str; 4] = ["north", "south", "east", "west"];
/// Usual thickness of an inside wall: 2 x 4 studs and two sheets of 1/2 in board (common practice).
const USUAL_WALL: f64 = 4.5 * INCH;

/// The most of each there is in a plan: far more than in any home, and as much as can be worked
/// with.
const MOST: [(&str, usize); 6] = [
    ("levels", 6),
    ("room", 150),
    ("opening", 300),
    ("furniture", 600),
    ("zone", 150),
    ("window", 300),
];

/// Ceilings are between these, in meters (5 and 40 ft: far out of the usual).
const LOWEST_CEILING: f64 = 60.0 * INCH;
const HIGHEST_CEILING: f64 = 480.0 * INCH;

/// Usual width of a window (3 ft: common practice).
const USUAL_WINDOW: f64 = 36.0 * INCH;

/// Decodes a whole plan file.
pub(super) fn decode(root: Node, d: &mut Decoder) -> Option<Decoded> {
    let mut top = Table::open(root, "", d)?;
    format(&mut top, d);
    d.system =
        top.get("units", d, |d, at, n| d.word(at, n, &["ft", "m"], system)).unwrap_or(System::Feet);
    let title = top.get("title", d, Decoder::line).unwrap_or_else(|| "Untitled plan".into());
    let walls = top
        .get("walls", d, |d, at, n| d.within(at, n, Decoder::length, Bounds::Walls(THICKEST_WALL)))
        .unwrap_or(USUAL_WALL);
    for (key, most) in MOST {
        top.count_of(key, most, d);
    }
    let made_of = made_of(&mut top, d);
    let levels = top.get("levels", d, |d, at, n| d.list(at, n, Decoder::name)).unwrap_or_default();
    let rooms = top.tables("room", d).into_iter().map(|t| room(t, d)).collect::<Vec<_>>();
    let openings = top.tables("opening", d).into_iter().map(|t| opening(t, d)).collect::<Vec<_>>();
    let furniture = top.tables("furniture", d).into_iter().map(|t| piece(t, d)).collect::<Vec<_>>();
    let zones = top.tables("zone", d).into_iter().map(|t| zone(t, d)).collect::<Vec<_>>();
    let windows = top.tables("window", d).into_iter().map(|t| window(t, d)).collect::<Vec<_>>();
    top.finish(d);
    // without a room what names it would seem wrong too; without a piece or an opening the others
    // can still be looked at
    let rooms = rooms.into_iter().collect::<Option<Vec<_>>>()?;
    let whole = openings.iter().all(Option::is_some) && furniture.iter().all(Option::is_some);
    let zones = zones.into_iter().collect::<Option<Vec<_>>>()?;
    let windows = windows.into_iter().collect::<Option<Vec<_>>>()?;
    let (opening_numbers, openings) = readable(openings);
    let (furniture_numbers, furniture) = readable(furniture);
    let said = Said {
        title,
        system: d.system,
        walls,
        levels,
        rooms,
        openings,
        furniture,
        zones,
        windows,
        made_of,
    };
    Some(Decoded { said, whole, opening_numbers, furniture_numbers })
}

/// What could be read of a plan.
pub(super) struct Decoded {
    pub said: Said,
    /// Whether that is everything.
    pub whole: bool,
    /// Number in the file of each opening and piece of `said`.
    opening_numbers: Vec<usize>,
    furniture_numbers: Vec<usize>,
}

impl Decoded {
    /// Gives a problem of `said` its place in the file.
    pub(super) fn renumber(&self, mut problem: Problem) -> Problem {
        for (list, numbers) in
            [("opening/", &self.opening_numbers), ("furniture/", &self.furniture_numbers)]
        {
            if let Some(rest) = problem.at.strip_prefix(list) {
                let (number, key) = rest.find('/').map_or((rest, ""), |slash| rest.split_at(slash));
                if let Some(true_number) = number.parse::<usize>().ok().and_then(|n| numbers.get(n))
                {
                    problem.at = format!("{list}{true_number}{key}");
                }
                break;
            }
        }
        problem
    }
}

/// The items that could be read, and their numbers.
fn readable<T>(items: Vec<Option<T>>) -> (Vec<usize>, Vec<T>) {
    items.into_iter().enumerate().filter_map(|(i, item)| Some((i, item?))).unzip()
}

/// Checks `format = 1`.
pub(super) fn format(top: &mut Table, d: &mut Decoder) {
    let Some(node) = top.take("format", d) else {
        d.wrong("", BadKey::Missing(Needed::Format));
        return;
    };
    match node.value {
        Value::Whole(1) => {}
        Value::Whole(n) if n > 1 => d.wrong("format", BadFile::LaterFormat(n)),
        other => d.expected("format", Expected::Format, &other),
    }
}

fn system(word: &str) -> Option<System> {
    match word {
        "ft" => Some(System::Feet),
        "m" => Some(System::Metres),
        _ => None,
    }
}

fn compass(d: &mut Decoder, at: &str, n: &Node) -> Option<Compass> {
    d.word(at, n, &COMPASS, Compass::from_word)
}

/// What a review asks for besides rooms and furniture.
fn made_of(top: &mut Table, d: &mut Decoder) -> MadeOf {
    let partition = top.get("inside_walls", d, |d, at, n| {
        d.word(at, n, &Partition::ALL.map(Partition::word), Partition::from_word)
    });
    let parking = top.table("parking", d).map(|mut t| {
        let parking = Parking {
            drive: t.get("drive", d, |d, at, n| d.pair(at, n, false)),
            street: t.get("street", d, Decoder::length),
            spaces: t.get("spaces", d, |d, at, n| d.count(at, n, 0, MOST_OWNED)),
        };
        t.finish(d);
        parking
    });
    let mut made = MadeOf {
        ceiling: top.get("ceiling", d, ceiling),
        finish: top.get("finish", d, finish),
        partition,
        parking,
        ..MadeOf::default()
    };
    if let Some(mut owns) = top.table("owns", d) {
        let owned = |d: &mut Decoder, at: &str, n: &Node| d.count(at, n, 0, MOST_OWNED);
        made.plates = owns.get("plates", d, owned);
        made.glasses = owns.get("glasses", d, owned);
        owns.finish(d);
    }
    made
}

/// Steps at one door, and things owned, at most: far more than in any home.
const MOST_STEPS: u32 = 100;
const MOST_OWNED: u32 = 10_000;

fn ceiling(d: &mut Decoder, at: &str, n: &Node) -> Option<f64> {
    d.within(at, n, Decoder::length, Bounds::Ceiling(LOWEST_CEILING, HIGHEST_CEILING))
}

fn finish(d: &mut Decoder, at: &str, n: &Node) -> Option<Finish> {
    d.word(at, n, &Finish::ALL.map(Finish::word), Finish::from_word)
}

fn room(mut t: Table, d: &mut Decoder) -> Option<SaidRoom> {
    let name = t.need("name", d, Needed::RoomName, Decoder::name);
    let size = t.get("size", d, |d, at, n| d.pair(at, n, false)).map(|(w, h)| Shape::Size(w, h));
    let has_outline = t.has("outline");
    let outline = t.get("outline", d, Decoder::corners).map(Shape::Outline);
    let said_size = d.places.contains_key(&(d.file, t.at("size")));
    match (said_size, has_outline) {
        (true, true) => d.wrong(&t.at("outline"), BadKey::TwoWays(TwoWays::RoomSizeOrOutline)),
        (false, false) => d.wrong(&t.path.clone(), BadKey::Missing(Needed::RoomSize)),
        _ => {}
    }
    let at_corner = t.get("at", d, |d, at, n| d.pair(at, n, true));
    let beside = beside(&mut t, d);
    let put = match (at_corner, beside) {
        (Some(_), Some(_)) => {
            d.wrong(&t.at("at"), BadKey::TwoWays(TwoWays::RoomAtOrBeside));
            None
        }
        (Some((x, y)), None) => Some(Put::At(x, y)),
        (None, Some(put)) => Some(put),
        (None, None) => Some(Put::Origin),
    };
    let usage = t.get("use", d, |d, at, n| d.word(at, n, &Use::words(), Use::from_word));
    let level = t.get("level", d, Decoder::text);
    let levels = t.get("levels", d, |d, at, n| two_names(d, at, n, BadValue::NotTwoLevels));
    let up = t.get("up", d, compass);
    let rise = t.get("rise", d, Decoder::length);
    let (ceiling, finish) = (t.get("ceiling", d, ceiling), t.get("finish", d, finish));
    t.finish(d);
    Some(SaidRoom {
        name: name?,
        shape: size.or(outline)?,
        put: put?,
        usage,
        level,
        levels,
        up,
        rise,
        ceiling,
        finish,
    })
}

fn zone(mut t: Table, d: &mut Decoder) -> Option<SaidZone> {
    let name = t.need("name", d, Needed::ZoneName, Decoder::name);
    let room = t.need("room", d, Needed::ZoneRoom, Decoder::text);
    let at = t.get("at", d, |d, at, n| d.pair(at, n, false)).unwrap_or((0.0, 0.0));
    let size = t.need("size", d, Needed::ZoneSize, |d, at, n| d.pair(at, n, false));
    t.finish(d);
    Some(SaidZone { name: name?, room: room?, at, size: size? })
}

fn window(mut t: Table, d: &mut Decoder) -> Option<SaidWindow> {
    let room = t.need("room", d, Needed::WindowRoom, Decoder::text);
    let wall = t.need("wall", d, Needed::WindowWall, compass);
    let width = t.get("width", d, Decoder::length).unwrap_or(USUAL_WINDOW);
    let gaps = gaps(&mut t, d);
    if gaps.len() > 1 {
        d.wrong(&t.path.clone(), BadKey::TwoWays(TwoWays::WindowGaps));
    }
    t.finish(d);
    Some(SaidWindow { room: room?, wall: wall?, width, gap: gaps.first().copied() })
}

fn beside(t: &mut Table, d: &mut Decoder) -> Option<Put> {
    let mut said: Vec<(Compass, String)> = vec![];
    for (key, side) in [
        ("east_of", Compass::East),
        ("west_of", Compass::West),
        ("north_of", Compass::North),
        ("south_of", Compass::South),
    ] {
        said.extend(t.get(key, d, Decoder::text).map(|of| (side, of)));
    }
    t.either("flush", "offset", TwoWays::FlushOrOffset, d);
    let flush = t.get("flush", d, compass);
    let offset = t.get("offset", d, Decoder::coordinate);
    if said.len() > 1 {
        d.wrong(&t.path.clone(), BadKey::TwoWays(TwoWays::Neighbors));
    }
    let (side, of) = said.into_iter().next()?;
    if let Some(flush) = flush.filter(|f| f.is_vertical() == side.is_vertical()) {
        let ends = if side.is_vertical() { ["west", "east"] } else { ["south", "north"] };
        let (side, flush) = (side.word(), flush.word());
        d.wrong(&t.at("flush"), BadRoom::FlushAcross { side, flush, ends });
    }
    Some(Put::Beside { side, of, flush, offset })
}

/// At most one gap, and which end it counts from.
fn gaps(t: &mut Table, d: &mut Decoder) -> Vec<(Compass, f64)> {
    let mut gaps = vec![];
    for (key, side) in [
        ("north", Compass::North),
        ("south", Compass::South),
        ("east", Compass::East),
        ("west", Compass::West),
    ] {
        gaps.extend(t.get(key, d, Decoder::length).map(|gap| (side, gap)));
    }
    gaps
}

fn two_names(d: &mut Decoder, at: &str, n: &Node, not_two: BadValue) -> Option<[String; 2]> {
    let two: Result<[String; 2], _> = d.names(at, n)?.try_into();
    if two.is_err() {
        d.wrong(at, not_two);
    }
    two.ok()
}

fn opening(mut t: Table, d: &mut Decoder) -> Option<SaidOpening> {
    let name = t.get("name", d, Decoder::name);
    let joins = t.need("joins", d, Needed::OpeningJoins, |d, at, n| {
        two_names(d, at, n, BadValue::NotTwoRooms)
    });
    let words: Vec<&str> = Style::ALL.iter().map(|s| s.word()).collect();
    let style = t.get("style", d, |d, at, n| d.word(at, n, &words, Style::from_word));
    let width = t.get("width", d, Decoder::length);
    let clear = t.get("clear", d, Decoder::length);
    let wall = t.get("wall", d, compass);
    let gaps = gaps(&mut t, d);
    if gaps.len() > 1 {
        d.wrong(&t.path.clone(), BadKey::TwoWays(TwoWays::OpeningGaps));
    }
    let (mut swing_into, mut hinge) = (None, None);
    if let Some(mut swing) = t.table("swing", d) {
        swing_into = swing.need("into", d, Needed::SwingInto, Decoder::text);
        hinge = swing.get("hinge", d, compass);
        swing.finish(d);
    }
    // of an opening whose style cannot be read nothing is known to be wrong with its panels
    let unread = t.has_been("style", d) && style.is_none();
    let opens = t.get("opens", d, compass).filter(|_| !unread);
    let steps = t.get("steps", d, |d, at, n| d.count(at, n, 0, MOST_STEPS));
    let core =
        t.get("core", d, |d, at, n| d.word(at, n, &Core::ALL.map(Core::word), Core::from_word));
    t.finish(d);
    Some(SaidOpening {
        name,
        joins: joins?,
        style,
        width,
        clear,
        wall,
        gap: gaps.first().copied(),
        swing_into,
        hinge,
        opens,
        steps,
        core,
    })
}

fn side(word: &str) -> Option<SaidSide> {
    match word {
        "front" => Some(SaidSide::Own(Side::Front)),
        "back" => Some(SaidSide::Own(Side::Back)),
        "ends" => Some(SaidSide::Own(Side::Ends)),
        other => Compass::from_word(other).map(SaidSide::Compass),
    }
}

fn sides(d: &mut Decoder, at: &str, n: &Node) -> Option<Vec<SaidSide>> {
    let known = ["front", "back", "ends", "north", "south", "east", "west"];
    match &n.value {
        Value::List(items) => items.iter().map(|n| d.word(at, n, &known, side)).collect(),
        Value::Text(t) if t.contains(' ') => t
            .split(' ')
            .map(|w| d.word(at, &Node { value: Value::Text(w.into()), ..n.clone() }, &known, side))
            .collect(),
        _ => d.word(at, n, &known, side).map(|s| vec![s]),
    }
}

fn piece(mut t: Table, d: &mut Decoder) -> Option<SaidFurniture> {
    let words: Vec<&str> = CATALOG.iter().map(|u| u.word).collect();
    let kind =
        t.need("kind", d, Needed::PieceKind, |d, at, n| d.word(at, n, &words, Kind::from_word));
    let room = t.need("room", d, Needed::PieceRoom, Decoder::text);
    let name = t.get("name", d, Decoder::name);
    t.either("size", "outline", TwoWays::PieceSizeOrOutline, d);
    let size = t.get("size", d, |d, at, n| d.pair(at, n, false));
    let outline = t.get("outline", d, Decoder::corners);
    let height = t.get("height", d, Decoder::length);
    let seats = t.get("seats", d, |d, at, n| d.count(at, n, 0, 100));
    let gaps = gaps(&mut t, d);
    let corner = t.get("at", d, |d, at, n| d.pair(at, n, true));
    if corner.is_some() && !gaps.is_empty() {
        d.wrong(&t.at("at"), BadKey::TwoWays(TwoWays::PieceAtOrGaps));
    }
    let turn = t.get("turn", d, Decoder::number);
    let use_from = t.get("use_from", d, sides);
    if outline.as_ref().is_some_and(|o| o.len() < 3) {
        d.wrong(&t.at("outline"), BadValue::FewCorners { of_room: false });
    }
    let rod = t.get("rod", d, Decoder::length);
    let glass_front = t.get("glass_front", d, Decoder::truth).unwrap_or(false);
    let place_settings = t.get("place_settings", d, |d, at, n| d.count(at, n, 1, 100));
    t.finish(d);
    let outline = outline.filter(|o| o.len() >= 3);
    Some(SaidFurniture {
        name,
        kind: kind?,
        room: room?,
        size,
        outline,
        height,
        seats,
        gaps,
        at: corner,
        turn,
        use_from,
        rod,
        glass_front,
        place_settings,
    })
}

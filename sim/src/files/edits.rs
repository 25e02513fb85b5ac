//! Changes as the lines that are pasted under `[[option]]`: read back they are the same changes.

use crate::base::units::Written;
use crate::evening::edit::{Edits, EveningEdit};
use crate::house::edit::{HouseEdit, NewPiece, OpeningEdit, PieceEdit, RoomEdit};
use crate::house::plan::Side;
use toml_edit::{Array, InlineTable, Value};

/// What an option with these changes says, without `[[option]]` and its name.
pub fn lines(edits: &Edits) -> String {
    let mut option = OptionText::default();
    edits.evening.iter().for_each(|edit| option.say_of_evening(edit));
    edits.house.iter().for_each(|edit| option.say_of_house(edit));
    option.text()
}

/// The tables of an option, in the order in which they are written.
#[derive(Default)]
struct OptionText {
    place: InlineTable,
    serving: Named,
    arrivals: InlineTable,
    lines: InlineTable,
    doors: InlineTable,
    change: Named,
    remove: Array,
    add: Array,
}

/// Tables by name, in the order in which they were begun.
#[derive(Default)]
struct Named(Vec<(String, InlineTable)>);

impl Named {
    fn of(&mut self, name: &str) -> &mut InlineTable {
        let at = self.0.iter().position(|(known, _)| known == name).unwrap_or(self.0.len());
        if at == self.0.len() {
            self.0.push((name.into(), InlineTable::new()));
        }
        &mut self.0[at].1
    }

    fn table(self) -> InlineTable {
        self.0.into_iter().collect()
    }
}

impl OptionText {
    fn text(self) -> String {
        let tables = [
            ("place", self.place),
            ("serving", self.serving.table()),
            ("arrivals", self.arrivals),
            ("lines", self.lines),
            ("doors", self.doors),
            ("change", self.change.table()),
        ];
        let lists = [("remove", self.remove), ("add.furniture", self.add)];
        let tables = tables.into_iter().filter(|t| !t.1.is_empty()).map(|(k, t)| (k, t.into()));
        let lists = lists.into_iter().filter(|l| !l.1.is_empty()).map(|(k, l)| (k, l.into()));
        tables.chain(lists).map(|(key, value): (_, Value)| format!("{key} = {value}\n")).collect()
    }

    fn say_of_evening(&mut self, edit: &EveningEdit) {
        match edit {
            EveningEdit::Place(serves, names) => {
                self.place.insert(serves.word(), names.iter().collect::<Array>().into());
            }
            EveningEdit::ServedAt(serves, minutes) => {
                let clock = format!("{:02}:{:02}", minutes / 60, minutes % 60);
                self.serving.of(serves.word()).insert("at", clock.into());
            }
            EveningEdit::AtOnce(spot, guests) => {
                self.serving.of(spot).insert("at_once", i64::from(*guests).into());
            }
            EveningEdit::MostWithin(minutes) => {
                self.arrivals.insert("most_within", format!("{minutes}min").into());
            }
            EveningEdit::LineToward { spot, opening } => {
                self.lines.insert(spot, opening.into());
            }
            EveningEdit::Open(door) => {
                self.doors.insert(door, "open".into());
            }
        }
    }

    fn say_of_house(&mut self, edit: &HouseEdit) {
        match edit {
            HouseEdit::Room(name, edit) => say_of_room(self.change.of(name), edit),
            HouseEdit::Opening(name, edit) => say_of_opening(self.change.of(name), edit),
            HouseEdit::Piece(name, edit) => say_of_piece(self.change.of(name), edit),
            HouseEdit::Remove(name) => self.remove.push(name),
            HouseEdit::Add(piece) => self.add.push(new_piece(piece)),
        }
    }
}

fn say_of_room(room: &mut InlineTable, edit: &RoomEdit) {
    match edit {
        RoomEdit::Size(size) => room.insert("size", two(size)),
        RoomEdit::Flush(end) => room.insert("flush", end.word().into()),
    };
}

fn say_of_opening(opening: &mut InlineTable, edit: &OpeningEdit) {
    match edit {
        OpeningEdit::Clear(clear) => {
            opening.insert("clear", clear.to_string().into());
        }
        OpeningEdit::Width { sold, clear } => {
            opening.insert("width", sold.to_string().into());
            opening.insert("clear", clear.to_string().into());
        }
        OpeningEdit::Swing { into, hinge } => {
            let mut swing = InlineTable::new();
            swing.insert("into", into.into());
            swing.insert("hinge", hinge.word().into());
            opening.insert("swing", swing.into());
        }
    }
}

fn say_of_piece(piece: &mut InlineTable, edit: &PieceEdit) {
    match edit {
        PieceEdit::At { room, corner } => {
            if let Some(room) = room {
                piece.insert("room", room.into());
            }
            piece.insert("at", two(corner))
        }
        PieceEdit::Turn(degrees) => piece.insert("turn", number(*degrees)),
        PieceEdit::UseFrom(from) => piece.insert("use_from", sides(from)),
        PieceEdit::GlassFront => piece.insert("glass_front", true.into()),
    };
}

fn new_piece(new: &NewPiece) -> Value {
    let mut piece = InlineTable::new();
    piece.insert("kind", new.kind.usual().word.into());
    piece.insert("name", (&new.name).into());
    piece.insert("room", (&new.room).into());
    piece.insert("at", two(&new.corner));
    piece.insert("turn", number(new.turn));
    piece.insert("use_from", sides(&new.use_from));
    piece.insert("size", two(&new.size));
    if let Some(seats) = new.seats {
        piece.insert("seats", i64::from(seats).into());
    }
    if new.glass_front {
        piece.insert("glass_front", true.into());
    }
    if let Some(rod) = new.rod {
        piece.insert("rod", rod.to_string().into());
    }
    piece.into()
}

fn two(lengths: &[Written; 2]) -> Value {
    lengths.iter().map(Written::to_string).collect::<Array>().into()
}

fn sides(sides: &[Side]) -> Value {
    sides.iter().map(|side| side.word()).collect::<Array>().into()
}

/// Whole numbers without a point, as people write them.
fn number(value: f64) -> Value {
    if value.fract() == 0.0 { (value as i64).into() } else { value.into() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::{FOOT, System};
    use crate::evening::scenario::{Scenario, Serves};
    use crate::files::{Asked, Loaded, read};
    use crate::house::plan::catalog::Kind;
    use crate::house::plan::said::Compass;
    use crate::house::plan::{LEAVE, Plan};
    use proptest::prelude::*;

    /// A house with items put and named in every way.
    const PLAN: &str = r#"
format = 1
title = "Flat over the bakery"
room = [
  { name = "parlor", size = ["18ft", "14ft"] },
  { name = "hall", size = ["4ft", "14ft"], east_of = "parlor", flush = "south" },
  { name = "pantry", size = ["6ft", "5ft"], north_of = "hall", offset = 0 },
  { name = "bath", use = "powder", size = ["5ft", "5ft"], east_of = "hall", flush = "north" },
]
opening = [
  { joins = ["outside", "hall"], wall = "south", style = "hinged" },
  { joins = ["hall", "parlor"], style = "cased", width = "60in" },
  { joins = ["hall", "pantry"], name = "pantry door", style = "hinged", width = "28in", swing = { into = "pantry", hinge = "west" } },
  { joins = ["hall ", " bath"], style = "hinged", width = "30in" },
]
furniture = [
  { kind = "table", room = "parlor", west = "5ft", south = "6ft", use_from = ["north"] },
  { kind = "table", room = "parlor", at = ["12ft", "2ft"], size = ["3ft", "2ft"], turn = 10 },
  { kind = "rack", name = "coat \"rack\"", room = "parlor", north = 0, west = "9ft" },
  { kind = "sideboard", room = "parlor", south = 0, west = "2ft", use_from = ["front"] },
  { kind = "cabinet", name = " cabinet ", room = "parlor", north = 0, east = "1ft" },
]
"#;
    const EVENING: &str = r#"
format = 1
plan = "flat.toml"
occasion = "buffet"
guests = 12
start = "7pm"
arrivals = { early = "20%" }
place = { coats = ["coat \"rack\""], food = ["table"] }
serving = { food = { at = "8pm" }, drinks = { poured = true } }
doors = { "pantry door" = "closed" }
"#;

    fn loaded(evening: &str, option: Option<&str>) -> Result<Loaded, String> {
        let load = |path: &str| {
            Ok(if path == "flat.toml" { PLAN.to_string() } else { evening.to_string() })
        };
        let asked = Asked { option: option.map(String::from), ..Asked::default() };
        read("evening.toml", &load, &asked).map_err(|r| format!("{:?}", r.problems))
    }

    /// House and evening, or what is wrong.
    type Outcome = Result<(Plan, Scenario), String>;

    /// With changes as data, and with the same as pasted lines.
    fn both(edits: &Edits) -> (Outcome, Outcome) {
        let as_data = loaded(EVENING, None)
            .and_then(|l| l.with(edits).map_err(|problems| format!("{problems:?}")));
        let option = format!("{EVENING}[[option]]\nname = \"changed\"\n{}", lines(edits));
        let pasted = loaded(&option, Some("changed"))
            .map(|l| (l.plan, Scenario { option: None, ..l.scenario }));
        (as_data, pasted)
    }

    fn length(most: f64) -> impl Strategy<Value = Written> {
        let whole = prop_oneof![Just(1.0), Just(12.0), Just(39.37)];
        (0.0..most, whole, any::<bool>()).prop_map(|(feet, parts, metric)| {
            let system = if metric { System::Metres } else { System::Feet };
            Written::new((feet * parts).round() / parts * FOOT, system)
        })
    }

    fn two(most: f64) -> impl Strategy<Value = [Written; 2]> {
        [length(most), length(most)]
    }

    fn name(names: &'static [&'static str]) -> impl Strategy<Value = String> {
        proptest::sample::select(names).prop_map(String::from)
    }

    const ROOMS: &[&str] = &["parlor", "hall", "pantry", "bath", "attic"];
    const OPENINGS: &[&str] = &["front door", "hall to parlor", "pantry door", "hall to bath"];
    const PIECES: &[&str] = &["table", "table 2", "coat \"rack\"", "sideboard", "cabinet", "piano"];

    fn compass() -> impl Strategy<Value = Compass> {
        proptest::sample::select(&Compass::ALL)
    }

    fn sides() -> impl Strategy<Value = Vec<Side>> {
        proptest::sample::subsequence(vec![Side::Front, Side::Back, Side::Ends], 1..=2)
    }

    fn turn() -> impl Strategy<Value = f64> {
        prop_oneof![Just(0.0), Just(90.0), Just(270.0), Just(12.5), 0.0..360.0]
    }

    fn of_house() -> impl Strategy<Value = HouseEdit> {
        let corner = (proptest::option::of(name(ROOMS)), two(12.0));
        let piece = prop_oneof![
            corner.prop_map(|(room, corner)| PieceEdit::At { room, corner }),
            turn().prop_map(PieceEdit::Turn),
            sides().prop_map(PieceEdit::UseFrom),
            Just(PieceEdit::GlassFront),
        ];
        let opening = prop_oneof![
            length(6.0).prop_map(OpeningEdit::Clear),
            two(4.0).prop_map(|[sold, clear]| OpeningEdit::Width { sold, clear }),
            (name(ROOMS), compass()).prop_map(|(into, hinge)| OpeningEdit::Swing { into, hinge }),
        ];
        let room =
            prop_oneof![two(20.0).prop_map(RoomEdit::Size), compass().prop_map(RoomEdit::Flush)];
        let named = name(&["bar", "cart", "table"]);
        let kind = proptest::sample::select(vec![Kind::Bar, Kind::Rack, Kind::Table, Kind::Bench]);
        let new =
            (named, kind, two(10.0), turn(), sides(), two(4.0), proptest::option::of(0..4u32));
        let new = new.prop_map(|(name, kind, corner, turn, use_from, size, seats)| NewPiece {
            name,
            kind,
            room: "parlor".into(),
            corner,
            turn,
            use_from,
            size,
            seats,
            glass_front: kind == Kind::Bar,
            rod: (kind == Kind::Rack).then_some(size[0]),
        });
        prop_oneof![
            4 => (name(PIECES), piece).prop_map(|(name, edit)| HouseEdit::Piece(name, edit)),
            2 => (name(OPENINGS), opening).prop_map(|(name, edit)| HouseEdit::Opening(name, edit)),
            1 => (name(ROOMS), room).prop_map(|(name, edit)| HouseEdit::Room(name, edit)),
            1 => name(&["table", "cabinet", "hall to bath", "pantry", "piano"])
                .prop_map(HouseEdit::Remove),
            2 => new.prop_map(HouseEdit::Add),
        ]
    }

    fn of_evening() -> impl Strategy<Value = EveningEdit> {
        let serves = || proptest::sample::select(&Serves::ALL[1..]);
        let served = proptest::collection::vec(name(PIECES), 1..3);
        prop_oneof![
            (serves(), served).prop_map(|(serves, names)| EveningEdit::Place(serves, names)),
            (name(PIECES), name(OPENINGS))
                .prop_map(|(spot, opening)| EveningEdit::LineToward { spot, opening }),
            (serves(), 0..1440u32).prop_map(|(s, minutes)| EveningEdit::ServedAt(s, minutes)),
            (name(PIECES), 0..60u32).prop_map(|(spot, guests)| EveningEdit::AtOnce(spot, guests)),
            (1..300u32).prop_map(EveningEdit::MostWithin),
            name(OPENINGS).prop_map(EveningEdit::Open),
        ]
    }

    /// Up to three changes that go together, and perhaps a piece taken away that they change.
    fn edits() -> impl Strategy<Value = Edits> {
        let one = prop_oneof![
            2 => of_house().prop_map(|e| Edits::of_house([e])),
            1 => of_evening().prop_map(|e| Edits::of_evening([e])),
        ];
        let gone = proptest::option::of(name(PIECES).prop_map(HouseEdit::Remove));
        (proptest::collection::vec(one, 1..4), gone).prop_map(|(all, gone)| {
            let join = |sum: Edits, e: &Edits| sum.and(e).unwrap_or(sum);
            let mut edits = all.iter().fold(Edits::default(), join);
            edits.house.extend(gone);
            edits
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]
        #[test]
        fn what_is_pasted_is_what_was_tried(edits in edits()) {
            let (as_data, pasted) = both(&edits);
            let refused = as_data.is_err() && pasted.is_err();
            prop_assert!(refused || as_data == pasted, "{edits:?}\n{}\n{as_data:?}\n{pasted:?}", lines(&edits));
        }
    }

    #[test]
    fn changes_read_as_a_host_would_write_them() {
        let at = [2.0 * FOOT, 6.5 * FOOT].map(|m| Written::new(m, System::Feet));
        let house = [
            HouseEdit::Piece("table".into(), PieceEdit::At { room: None, corner: at }),
            HouseEdit::Piece("table".into(), PieceEdit::Turn(90.0)),
            HouseEdit::Remove("table 2".into()),
        ];
        let evening = [EveningEdit::Open(LEAVE.into()), EveningEdit::ServedAt(Serves::Food, 1170)];
        let edits = Edits { house: house.into(), evening: evening.into() };
        assert_eq!(
            lines(&edits),
            "serving = { food = { at = \"19:30\" } }\ndoors = { leave = \"open\" }\n\
             change = { table = { at = [\"24in\", \"78in\"], turn = 90 } }\nremove = [\"table 2\"]\n"
        );
    }

    #[test]
    fn many_changes_of_the_property_work() {
        assert_eq!(loaded(EVENING, None).err(), None);
        use proptest::strategy::ValueTree;
        let mut runner = proptest::test_runner::TestRunner::deterministic();
        let works = (0..300)
            .filter(|_| edits().new_tree(&mut runner).is_ok_and(|e| both(&e.current()).0.is_ok()));
        assert!(works.count() > 60);
    }
}

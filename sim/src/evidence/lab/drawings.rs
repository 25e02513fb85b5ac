//! Texts of houses and evenings for checks of headcounts: rooms in proportion, one house drawn in
//! several ways, a hall that everybody uses.

use std::fmt::Write;

/// A plain furnished room for a party, in tiles of 15 by 12 ft: each has a sofa, an armchair, a bar
/// and a table of food that is used from both long sides. One column of tiles or two, so many rows;
/// a way in of 3 ft for one tile, wider in proportion to the root of their number.
pub fn reference_room(columns: u32, rows: u32) -> String {
    let (wide, deep) = (15.0 * f64::from(columns), 12.0 * f64::from(rows));
    let door = 36.0 * f64::from(columns * rows).sqrt();
    let mut plan = format!(
        "format = 1\nunits = \"ft\"\nroom = [{{ name = \"room\", use = \"living\", size = [{wide}, {deep}] }}]\n\
         opening = [{{ joins = [\"outside\", \"room\"], wall = \"south\", style = \"cased\", width = \"{door:.1}in\" }}]\nfurniture = [\n"
    );
    for (column, row) in (0..columns).flat_map(|c| (0..rows).map(move |r| (c, r))) {
        let mirrored = column == 1;
        // a piece by its south-west corner in the tile and its size as it stands, in feet
        let mut piece = |kind: &str,
                         (x, y): (f64, f64),
                         (w, d): (f64, f64),
                         turn: u32,
                         more: &str| {
            let x = if mirrored { wide - x - w } else { x };
            let turn = if mirrored && turn % 180 == 90 { 360 - turn } else { turn };
            let size = if turn % 180 == 90 { (d, w) } else { (w, d) };
            let _ = writeln!(
                plan,
                "{{ name = \"{kind} {column}{row}\", kind = \"{kind}\", room = \"room\", at = [{x}, {}], size = [{}, {}], turn = {turn}{more} }},",
                y + 12.0 * f64::from(row),
                size.0,
                size.1
            );
        };
        piece("sofa", (0.0, 0.5), (3.0, 7.0), 90, ", seats = 3");
        piece("armchair", (4.5, 0.2), (2.75, 2.8), 180, "");
        piece("bar", (0.0, 7.9), (2.0, 4.0), 90, "");
        piece("table", (9.0, 3.5), (2.5, 5.0), 90, ", seats = 0, use_from = [\"front\", \"back\"]");
    }
    plan + "]\n"
}

/// An evening of cocktails in such a room, at every bar and table.
pub fn reference_evening(columns: u32, rows: u32, guests: u32) -> String {
    let all = |kind: &str| {
        let names = (0..columns)
            .flat_map(|c| (0..rows).map(move |r| (c, r)))
            .map(|(c, r)| format!("\"{kind} {c}{r}\""));
        names.collect::<Vec<_>>().join(", ")
    };
    format!(
        "format = 1\nplan = \"plan.toml\"\noccasion = \"cocktails\"\nguests = {guests}\nweather = \"hot\"\nstart = \"7pm\"\nlasts = \"3h\"\nhosts = 1\n\
         [place]\ndrinks = [{}]\nfood = [{}]\n",
        all("bar"),
        all("table")
    )
}

/// What is different in the evening of a [`House`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scene {
    /// Cocktails.
    Plain,
    /// With a second powder room.
    SecondPowder,
    /// Somebody pours the drinks, slowly.
    Poured,
    /// Two pour them, at two bars.
    PouredTwice,
    /// A buffet, with seats.
    Buffet,
}

/// A house with a hall, a powder room and a great room of 30 by 24 ft, and how it is drawn.
#[derive(Clone, Copy, Debug)]
pub struct House {
    /// The great room is two rooms with an opening of full width.
    pub split: bool,
    /// West is east.
    pub mirrored: bool,
    /// Turned counter-clockwise by so many degrees: a quarter, or less.
    pub degrees: u32,
    /// In meters.
    pub meters: bool,
    /// Every name is another.
    pub renamed: bool,
    /// Furniture in the opposite order.
    pub reversed: bool,
    /// What happens in it.
    pub scene: Scene,
}

impl Default for House {
    fn default() -> House {
        House {
            split: false,
            mirrored: false,
            degrees: 0,
            meters: false,
            renamed: false,
            reversed: false,
            scene: Scene::Plain,
        }
    }
}

/// A rectangle in feet: west, south, width, depth.
type Rectangle = (f64, f64, f64, f64);

/// Width of the great room, in feet.
const WIDE: f64 = 30.0;

impl House {
    /// The same rectangle as this drawing has it.
    fn drawn(self, (x, y, w, d): Rectangle) -> Rectangle {
        let (x, y, w, d) = if self.mirrored { (WIDE - x - w, y, w, d) } else { (x, y, w, d) };
        if self.degrees == 90 { (-y - d, x, d, w) } else { (x, y, w, d) }
    }

    /// The corners of a rectangle as this drawing has it, slanted if it is.
    fn corners(self, at: Rectangle) -> [(f64, f64); 4] {
        let (x, y, w, d) = self.drawn(at);
        let (sin, cos) = if self.degrees == 90 {
            (0.0, 1.0)
        } else {
            f64::from(self.degrees).to_radians().sin_cos()
        };
        [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
            .map(|(x, y)| (x * cos - y * sin, x * sin + y * cos))
    }

    /// The south-west corner of what a rectangle takes of the compass grid.
    fn corner(self, at: Rectangle) -> (f64, f64) {
        self.corners(at)
            .iter()
            .fold((f64::INFINITY, f64::INFINITY), |m, c| (m.0.min(c.0), m.1.min(c.1)))
    }

    fn number(self, feet: f64) -> String {
        if self.meters { format!("{:.6}", feet * 0.3048) } else { format!("{feet:.4}") }
    }

    fn name(self, name: &str) -> String {
        if self.renamed {
            format!("Q{}", name.chars().rev().collect::<String>())
        } else {
            name.to_string()
        }
    }

    fn rooms(self) -> Vec<(&'static str, &'static str, Rectangle)> {
        let great: Vec<(&str, &str, Rectangle)> = if self.split {
            vec![
                ("west part", "living", (0.0, 0.0, 15.0, 24.0)),
                ("east part", "living", (15.0, 0.0, 15.0, 24.0)),
            ]
        } else {
            vec![("great room", "living", (0.0, 0.0, WIDE, 24.0))]
        };
        let mut rooms = great;
        rooms.push(("hall", "hall", (3.0, -8.375, 5.0, 8.0)));
        rooms.push(("powder room", "powder", (-2.375, -7.0, 5.0, 6.0)));
        if self.scene == Scene::SecondPowder {
            rooms.push(("small bath", "powder", (8.375, -7.0, 5.0, 6.0)));
        }
        rooms
    }

    /// Pieces: name, kind, rectangle as it stands, turn, more.
    fn pieces(self) -> Vec<(&'static str, &'static str, Rectangle, u32, &'static str)> {
        let mut pieces = vec![
            ("sofa", "sofa", (0.0, 8.0, 3.0, 7.0), 90, ", seats = 3"),
            ("armchair", "armchair", (5.0, 17.0, 2.75, 2.8), 0, ""),
            ("bar", "bar", (22.0, 22.0, 4.0, 2.0), 0, ""),
            ("food table", "island", (19.0, 9.0, 6.0, 3.0), 0, ", seats = 0"),
            ("sideboard", "sideboard", (28.5, 4.0, 1.5, 5.0), 270, ""),
        ];
        match self.scene {
            Scene::PouredTwice => pieces.push(("other bar", "bar", (4.0, 22.0, 4.0, 2.0), 0, "")),
            Scene::Buffet => pieces.extend([
                ("dining table", "table", (6.0, 4.5, 8.0, 3.5), 0, ", seats = 8"),
                ("second sofa", "sofa", (10.0, 21.0, 7.0, 3.0), 0, ", seats = 3"),
                ("third sofa", "sofa", (27.0, 12.0, 3.0, 7.0), 270, ", seats = 3"),
                (
                    "bench",
                    "bench",
                    (20.0, 0.0, 6.0, 1.4),
                    180,
                    ", seats = 3, use_from = [\"front\"]",
                ),
            ]),
            _ => {}
        }
        pieces
    }

    /// The plan's text.
    pub fn plan(self) -> String {
        let n = |feet: f64| self.number(feet);
        let mut text = format!(
            "format = 1\nunits = \"{}\"\nwalls = \"4.5in\"\nroom = [\n",
            if self.meters { "m" } else { "ft" }
        );
        for (name, usage, at) in self.rooms() {
            let (x, y, w, d) = self.drawn(at);
            let shape = if self.degrees.is_multiple_of(90) {
                format!("at = [{}, {}], size = [{}, {}]", n(x), n(y), n(w), n(d))
            } else {
                let (x0, y0) = self.corner(at);
                let corners: Vec<String> = self
                    .corners(at)
                    .iter()
                    .map(|(x, y)| format!("[{}, {}]", n(x - x0), n(y - y0)))
                    .collect();
                format!("at = [{}, {}], outline = [{}]", n(x0), n(y0), corners.join(", "))
            };
            let _ =
                writeln!(text, "{{ name = \"{}\", use = \"{usage}\", {shape} }},", self.name(name));
        }
        let south = if self.degrees == 90 { "east" } else { "south" };
        let near_hall = match (self.split, self.mirrored) {
            (false, _) => "great room",
            (true, _) => "west part",
        };
        let _ = writeln!(
            text,
            "]\nopening = [\n{{ name = \"{}\", joins = [\"outside\", \"{}\"], wall = \"{south}\" }},",
            self.name("front door"),
            self.name("hall")
        );
        let _ = writeln!(
            text,
            "{{ joins = [\"{}\", \"{}\"], style = \"cased\", width = \"4ft\" }},",
            self.name("hall"),
            self.name(near_hall)
        );
        let _ = writeln!(
            text,
            "{{ joins = [\"{}\", \"{}\"], width = \"30in\" }},",
            self.name("hall"),
            self.name("powder room")
        );
        if self.scene == Scene::SecondPowder {
            let _ = writeln!(
                text,
                "{{ joins = [\"{}\", \"{}\"], width = \"30in\" }},",
                self.name("hall"),
                self.name("small bath")
            );
        }
        if self.split {
            let _ = writeln!(
                text,
                "{{ joins = [\"{}\", \"{}\"], style = \"cased\", width = \"24ft\" }},",
                self.name("west part"),
                self.name("east part")
            );
        }
        let mut lines: Vec<String> = self.pieces().into_iter().map(|p| self.piece(p)).collect();
        if self.reversed {
            lines.reverse();
        }
        text + "]\nfurniture = [\n" + &lines.concat() + "]\n"
    }

    fn piece(self, (name, kind, at, turn, more): (&str, &str, Rectangle, u32, &str)) -> String {
        let room = if !self.split {
            "great room"
        } else if at.0 < 15.0 {
            "west part"
        } else {
            "east part"
        };
        let rectangle =
            self.rooms().into_iter().find(|r| r.0 == room).map_or((0.0, 0.0, 0.0, 0.0), |r| r.2);
        let ((rx, ry), (x, y), (_, _, w, d)) =
            (self.corner(rectangle), self.corner(at), self.drawn(at));
        let turn = if self.mirrored && turn % 180 == 90 { 360 - turn } else { turn };
        let sideways = (turn + if self.degrees == 90 { 90 } else { 0 }) % 180 == 90;
        let (along, deep) = if sideways { (d, w) } else { (w, d) };
        let turn = (turn + self.degrees) % 360;
        let n = |feet: f64| self.number(feet);
        format!(
            "{{ name = \"{}\", kind = \"{kind}\", room = \"{}\", at = [{}, {}], size = [{}, {}], turn = {turn}{more} }},\n",
            self.name(name),
            self.name(room),
            n(x - rx),
            n(y - ry),
            n(along),
            n(deep)
        )
    }

    /// The evening's text.
    pub fn evening(self, guests: u32) -> String {
        let occasion = if self.scene == Scene::Buffet { "buffet" } else { "cocktails" };
        let (bars, more) = match self.scene {
            Scene::Poured => {
                (vec!["bar"], "[serving.drinks]\npoured = true\ntime = \"70s\"\nat_once = 1\n")
            }
            Scene::PouredTwice => (
                vec!["bar", "other bar"],
                "[serving.drinks]\npoured = true\ntime = \"70s\"\nat_once = 1\n",
            ),
            _ => (vec!["bar"], ""),
        };
        let bars: Vec<String> = bars.into_iter().map(|b| format!("\"{}\"", self.name(b))).collect();
        format!(
            "format = 1\nplan = \"plan.toml\"\noccasion = \"{occasion}\"\nguests = {guests}\nweather = \"hot\"\nstart = \"7pm\"\nhosts = 1\n[place]\ndrinks = [{}]\nfood = [\"{}\"]\n{more}",
            bars.join(", "),
            self.name("food table")
        )
    }
}

/// A front room with the powder room and the bar, a passage of a width in inches, a back room with
/// the food; and, if there is one, a second way round. The evening is short: everybody comes at
/// once.
pub fn passage_house(width: f64, second_way: bool) -> (String, String) {
    let round = if second_way {
        "{ name = \"back passage\", use = \"other\", at = [15, 15.75], size = [4, 12] },\n"
    } else {
        ""
    };
    let ways = if second_way {
        "{ joins = [\"front room\", \"back passage\"], style = \"cased\", width = \"4ft\" },\n{ joins = [\"back passage\", \"back room\"], style = \"cased\", width = \"4ft\" },\n"
    } else {
        ""
    };
    let feet = width / 12.0;
    let plan = format!(
        "format = 1\nunits = \"ft\"\nwalls = \"4.5in\"\nroom = [\n\
           {{ name = \"front room\", use = \"living\", at = [0, 0], size = [20, 15.375] }},\n\
           {{ name = \"passage\", use = \"hall\", at = [6, 15.75], size = [{feet:.4}, 12] }},\n\
           {round}{{ name = \"back room\", use = \"living\", at = [0, 28.125], size = [20, 16] }},\n\
           {{ name = \"powder room\", use = \"powder\", at = [20.375, 4], size = [5, 6] }},\n\
           {{ name = \"other powder room\", use = \"powder\", at = [-5.375, 4], size = [5, 6] }},\n\
         ]\nopening = [\n\
           {{ joins = [\"outside\", \"front room\"], wall = \"south\" }},\n\
           {{ joins = [\"front room\", \"powder room\"], width = \"30in\" }},\n\
           {{ joins = [\"front room\", \"other powder room\"], width = \"30in\" }},\n\
           {{ joins = [\"front room\", \"passage\"], style = \"cased\", width = \"{width}in\" }},\n\
           {{ joins = [\"passage\", \"back room\"], style = \"cased\", width = \"{width}in\" }},\n\
           {ways}]\nfurniture = [\n\
           {{ kind = \"bar\", room = \"front room\", west = \"1ft\", south = 0 }},\n\
           {{ kind = \"island\", room = \"back room\", at = [7, 10], seats = 0 }},\n\
         ]\n"
    );
    let evening = "format = 1\nplan = \"plan.toml\"\noccasion = \"cocktails\"\nguests = 40\nweather = \"hot\"\nstart = \"7pm\"\nlasts = \"2h\"\nhosts = 0\n[arrivals]\nmost_within = \"20min\"\n[place]\ndrinks = [\"bar\"]\nfood = [\"island\"]\n[talk]\nspell = \"3min\"\n";
    (plan, evening.to_string())
}

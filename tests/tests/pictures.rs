//! Every picture of every demo: no label over another, over a wall or over the lines of furniture,
//! and none too small for a phone.
#![allow(clippy::unwrap_used)]

use elbowroom_tests::{demo, run};
use resvg::{tiny_skia, usvg};

/// Colors of walls and of the lines of furniture, and of text on a dark ground.
const WALL: [u8; 3] = [0x26, 0x2b, 0x33];
const PIECE_LINE: [u8; 3] = [0x8a, 0x84, 0x78];
const LIGHT: [u8; 3] = [0xfb, 0xf9, 0xf4];
/// Pictures are 600 units wide; at 390 px a text of so many units is 11 px high.
const SMALLEST: f32 = 11.0 * 600.0 / 390.0;
/// Boxes may touch by so many units: letters do not fill them.
const TOUCH: f32 = 1.5;

/// A text of a picture.
struct Label {
    text: String,
    rect: tiny_skia::Rect,
    size: f32,
    on_dark: bool,
}

/// The texts of a picture, and the picture without them.
fn read(svg: &str) -> (Vec<Label>, tiny_skia::Pixmap) {
    let mut options = usvg::Options::default();
    for face in ["Lato-Regular.ttf", "Lato-Bold.ttf"] {
        let path = format!("{}/../reports/assets/{face}", env!("CARGO_MANIFEST_DIR"));
        options.fontdb_mut().load_font_data(std::fs::read(path).unwrap());
    }
    let tree = usvg::Tree::from_str(svg, &options).unwrap();
    let mut labels = vec![];
    labels_of(tree.root(), &mut labels);
    let bare: String = without_texts(svg);
    let bare = usvg::Tree::from_str(&bare, &options).unwrap();
    let mut pixels = tiny_skia::Pixmap::new(
        bare.size().width().ceil() as u32,
        bare.size().height().ceil() as u32,
    )
    .unwrap();
    resvg::render(&bare, tiny_skia::Transform::identity(), &mut pixels.as_mut());
    (labels, pixels)
}

fn labels_of(group: &usvg::Group, labels: &mut Vec<Label>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(g) => labels_of(g, labels),
            usvg::Node::Text(t) => {
                let span = &t.chunks()[0].spans()[0];
                let scale = t.abs_transform().get_scale().0;
                let on_dark = matches!(span.fill().map(|f| f.paint()), Some(usvg::Paint::Color(c)) if [c.red, c.green, c.blue] == LIGHT);
                let text = t.chunks().iter().map(|c| c.text()).collect();
                labels.push(Label {
                    text,
                    rect: t.abs_bounding_box(),
                    size: span.font_size().get() * scale,
                    on_dark,
                });
            }
            _ => {}
        }
    }
}

fn without_texts(svg: &str) -> String {
    let mut rest = svg;
    let mut bare = String::new();
    while let Some(start) = rest.find("<text") {
        bare.push_str(&rest[..start]);
        rest = rest[start..].find("</text>").map_or("", |end| &rest[start + end + 7..]);
    }
    bare + rest
}

fn covers_ink(label: &Label, pixels: &tiny_skia::Pixmap) -> bool {
    let r = label.rect;
    let near = |p: tiny_skia::PremultipliedColorU8, ink: [u8; 3]| {
        [p.red(), p.green(), p.blue()].iter().zip(ink).all(|(a, b)| a.abs_diff(b) <= 6)
    };
    let (left, right) = ((r.left() + TOUCH) as u32, (r.right() - TOUCH).max(0.0) as u32);
    let (top, bottom) = ((r.top() + TOUCH) as u32, (r.bottom() - TOUCH).max(0.0) as u32);
    (top..bottom).any(|y| {
        (left..right)
            .any(|x| pixels.pixel(x, y).is_some_and(|p| near(p, WALL) || near(p, PIECE_LINE)))
    })
}

fn overlap(a: &Label, b: &Label) -> bool {
    let (a, b) = (a.rect, b.rect);
    a.left() + TOUCH < b.right()
        && b.left() + TOUCH < a.right()
        && a.top() + TOUCH < b.bottom()
        && b.top() + TOUCH < a.bottom()
}

/// What is wrong with the labels of a picture.
fn faults(name: &str, svg: &str) -> Vec<String> {
    let (labels, pixels) = read(svg);
    assert!(labels.len() > 3, "{name} has {} labels", labels.len());
    let mut found = vec![];
    for (i, a) in labels.iter().enumerate() {
        if a.size < SMALLEST - 0.2 {
            found.push(format!("{name}: `{}` is {:.1} units high", a.text, a.size));
        }
        if !a.on_dark && covers_ink(a, &pixels) {
            found.push(format!("{name}: `{}` covers a wall or the lines of furniture", a.text));
        }
        found.extend(
            labels[..i]
                .iter()
                .filter(|b| overlap(a, b))
                .map(|b| format!("{name}: `{}` is over `{}`", a.text, b.text)),
        );
    }
    found
}

/// Asks a question about a demo and looks at the pictures it wrote.
fn pictures(question: &[&str]) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("answer").display().to_string();
    let args = [question, &["--quiet", "--out", &out]].concat();
    let outcome = run(&args);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    let mut found = vec![];
    for entry in std::fs::read_dir(&out).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "svg") {
            let name = format!(
                "{} {}",
                question[1].rsplit('/').next().unwrap(),
                path.file_name().unwrap().to_string_lossy()
            );
            found.extend(faults(&name, &std::fs::read_to_string(&path).unwrap()));
        }
    }
    found
}

#[test]
fn no_label_of_any_demo_covers_anything() {
    let mut found = vec![];
    for house in
        ["winter-cocktails.toml", "buffet-dinner.toml", "housewarming.toml", "summer-evening.toml"]
    {
        let file = demo(house);
        found.extend(pictures(&["check", &file, "--dimensions"]));
        found.extend(pictures(&["run", &file, "--trials", "8"]));
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn no_label_of_places_or_differences_covers_anything() {
    let mut found = pictures(&["where", &demo("buffet-dinner.toml"), "food", "--trials", "8"]);
    found.extend(pictures(&["compare", &demo("winter-cocktails.toml"), "--trials", "8"]));
    found.extend(pictures(&["capacity", &demo("buffet-dinner.toml"), "--trials", "64"]));
    assert!(found.is_empty(), "{found:#?}");
}

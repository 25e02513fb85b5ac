//! The layout of the code is what the module lists say, and DEVELOPERS.md names only what exists.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use syn::visit::{self, Visit};

use sim::evening::scenario::{Grade, Limit, Occasion, Serves};
use sim::house::plan::catalog::CATALOG;

/// Files and folders in a folder of the code, at most, its own list not counted.
const MOST_ENTRIES: usize = 10;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn source_of(krate: &str) -> PathBuf {
    root().join(krate).join("src")
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    entries
}

/// All files below a folder.
fn files_in(folder: &Path) -> Vec<PathBuf> {
    entries(folder)
        .into_iter()
        .flat_map(|p| if p.is_dir() { files_in(&p) } else { vec![p] })
        .filter(|p| p.extension().is_some_and(|e| e == "rs"))
        .collect()
}

fn folders_in(folder: &Path) -> Vec<PathBuf> {
    entries(folder)
        .into_iter()
        .filter(|p| p.is_dir())
        .flat_map(|p| [folders_in(&p), vec![p]].concat())
        .collect()
}

fn parsed(file: &Path) -> syn::File {
    syn::parse_file(&std::fs::read_to_string(file).unwrap()).unwrap()
}

/// The modules that a file lists, in order.
fn listed(file: &Path) -> Vec<String> {
    let is_list = |item: &syn::Item| match item {
        syn::Item::Mod(m) if m.content.is_none() => Some(m.ident.to_string()),
        _ => None,
    };
    parsed(file).items.iter().filter_map(is_list).collect()
}

/// The module of a file: its names from the crate down.
fn module_of(krate: &str, file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(source_of(krate)).unwrap().with_extension("");
    let names = inside.components().map(|c| c.as_os_str().to_string_lossy().into_owned());
    names.filter(|n| !["mod", "lib", "main"].contains(&n.as_str())).collect()
}

/// Every path of the crate that a file uses, in whatever form, as names from the crate down.
struct Used {
    /// The module that is being read.
    here: Vec<String>,
    paths: Vec<Vec<String>>,
}

impl Used {
    fn by(krate: &str, file: &Path) -> Vec<Vec<String>> {
        let mut used = Used { here: module_of(krate, file), paths: vec![] };
        used.visit_file(&parsed(file));
        used.paths
    }

    /// A path from the crate down, if it says where it begins.
    fn note(&mut self, names: &[String]) {
        let (first, mut from) = (names.first().map(String::as_str), self.here.clone());
        let rest = match first {
            Some("crate") => {
                from.clear();
                &names[1..]
            }
            Some("self") => &names[1..],
            Some("super") => {
                let ups = names.iter().take_while(|n| *n == "super").count();
                from.truncate(from.len().saturating_sub(ups));
                &names[ups..]
            }
            _ => return,
        };
        from.extend_from_slice(rest);
        self.paths.push(from);
    }

    fn tree(&mut self, before: &[String], tree: &syn::UseTree) {
        let with = |name: String| [before, &[name]].concat();
        match tree {
            syn::UseTree::Path(p) => self.tree(&with(p.ident.to_string()), &p.tree),
            syn::UseTree::Name(n) => self.note(&with(n.ident.to_string())),
            syn::UseTree::Rename(r) => self.note(&with(r.ident.to_string())),
            syn::UseTree::Glob(_) => self.note(before),
            syn::UseTree::Group(g) => g.items.iter().for_each(|t| self.tree(before, t)),
        }
    }
}

impl<'ast> Visit<'ast> for Used {
    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        self.tree(&[], &item.tree);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        self.note(&path.segments.iter().map(|s| s.ident.to_string()).collect::<Vec<_>>());
        visit::visit_path(self, path);
    }

    fn visit_vis_restricted(&mut self, _: &'ast syn::VisRestricted) {}

    /// Unit tests may build what they look at with whatever they like.
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        let is_test = |a: &syn::Attribute| {
            a.path().is_ident("cfg") && a.parse_args::<syn::Ident>().is_ok_and(|i| i == "test")
        };
        if item.attrs.iter().any(is_test) {
            return;
        }
        self.here.push(item.ident.to_string());
        visit::visit_item_mod(self, item);
        self.here.pop();
    }
}

/// What is wrong with a path that a module uses, given the folders in order, each with its modules
/// in order.
fn fault(order: &[(String, Vec<String>)], by: &[String], used: &[String]) -> Option<String> {
    let folder = |m: &[String]| order.iter().position(|(f, _)| Some(f) == m.first());
    let (own, other) = (folder(by)?, folder(used)?);
    let entry = |m: &[String]| order[own].1.iter().position(|e| Some(e) == m.get(1));
    let is_below = other > own
        || (other == own && entry(by).zip(entry(used)).is_some_and(|(own, other)| other > own));
    is_below.then(|| format!("{} uses {} from below", by.join("::"), used.join("::")))
}

fn order(krate: &str) -> Vec<(String, Vec<String>)> {
    let source = source_of(krate);
    listed(&source.join("lib.rs"))
        .into_iter()
        .map(|f| (f.clone(), listed(&source.join(f).join("mod.rs"))))
        .collect()
}

#[test]
fn every_file_imports_only_from_modules_above_its_own() {
    let mut faults = vec![];
    for krate in ["sim", "reports"] {
        let order = order(krate);
        assert!(order.len() >= 5, "{krate}: the module list was not found");
        for file in files_in(&source_of(krate)) {
            let by = module_of(krate, &file);
            faults
                .extend(Used::by(krate, &file).iter().filter_map(|used| fault(&order, &by, used)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn an_import_from_below_is_found_in_every_form() {
    let order = vec![
        ("a".to_string(), vec!["one".to_string(), "two".to_string()]),
        ("b".to_string(), vec![]),
    ];
    let faults = |here: &[&str], code: &str| {
        let here: Vec<String> = here.iter().map(|n| n.to_string()).collect();
        let mut used = Used { here: here.clone(), paths: vec![] };
        used.visit_file(&syn::parse_str(code).unwrap());
        used.paths.iter().filter_map(|u| fault(&order, &here, u)).count()
    };
    for below in [
        "use crate::b::X;",
        "use crate::{a::one, b};",
        "use crate::{b::{X, Y as Z}};",
        "use super::super::b::X;",
        "use crate::b::*;",
    ] {
        assert!(faults(&["a", "one"], below) > 0, "{below}");
    }
    for below in [
        "use super::two::X;",
        "use crate::a::two::X;",
        "fn f() { crate::a::two::f() }",
        "fn f(x: super::two::X) {}",
        "mod inner { use super::super::two::X; }",
    ] {
        assert_eq!(faults(&["a", "one"], below), 1, "{below}");
        assert_eq!(faults(&["a", "two"], &below.replace("two", "one")), 0, "{below}");
    }
    assert_eq!(
        faults(
            &["a", "one"],
            "use crate::a::Shared; use super::Other; use std::b::X; mod tests { use super::*; }"
        ),
        0
    );
}

#[test]
fn each_folder_tells_what_it_owns_and_is_small() {
    for krate in ["sim", "reports"] {
        let source = source_of(krate);
        for folder in [folders_in(&source), vec![source.clone()]].concat() {
            let own = if folder == source { folder.join("lib.rs") } else { folder.join("mod.rs") };
            let text = std::fs::read_to_string(&own).unwrap_or_default();
            assert!(text.starts_with("//! "), "{} does not open with what it owns", own.display());
            let many =
                entries(&folder).iter().filter(|p| **p != own && !p.ends_with("main.rs")).count();
            assert!(many <= MOST_ENTRIES, "{} has {many} entries", folder.display());
        }
    }
}

#[test]
fn each_library_is_used_only_where_it_belongs() {
    let homes = [
        ("toml", "sim/src/files"),
        ("toml_edit", "sim/src/files"),
        ("rand", "sim/src/base/chance"),
        ("rand_chacha", "sim/src/base/chance"),
        ("rand_distr", "sim/src/base/chance"),
        ("rayon", "sim/src/base/parallel"),
        ("plotters", "reports/src/pictures"),
        ("resvg", "reports/src/pictures"),
        ("maud", "reports/src/page"),
        ("clap", "reports/src/command"),
    ];
    for (library, home) in homes {
        let mut at_home = 0;
        for krate in ["sim", "reports"] {
            for file in files_in(&source_of(krate)) {
                let text = std::fs::read_to_string(&file).unwrap();
                let uses =
                    text.lines().any(|l| l.trim_start().starts_with(&format!("use {library}::")));
                let is_home = file.with_extension("").starts_with(root().join(home));
                assert!(!uses || is_home, "{} uses {library}", file.display());
                at_home += usize::from(uses && is_home);
            }
        }
        assert!(at_home > 0, "{library} is not used in {home}");
    }
}

#[test]
fn developers_md_names_only_paths_that_exist() {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named: Vec<&str> = text
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|t| t.contains('/') && !t.contains(' ') && !t.contains("::"))
        .collect();
    assert!(named.len() >= 20, "DEVELOPERS.md names only {} paths", named.len());
    for path in named {
        assert!(root().join(path).exists(), "DEVELOPERS.md names {path}, which does not exist");
    }
}

#[test]
fn every_folder_of_the_code_is_in_developers_md() {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    for krate in ["sim", "reports"] {
        for (folder, _) in order(krate) {
            assert!(
                text.contains(&format!("`{krate}/src/{folder}")),
                "DEVELOPERS.md does not tell of {krate}/src/{folder}"
            );
        }
    }
}

/// What somebody adds is also told where people look for it: there it stands by hand.
#[test]
fn occasions_limits_spots_and_kinds_are_told_of_in_the_readme_the_help_and_the_first_files() {
    let read = |path: &str| std::fs::read_to_string(root().join(path)).unwrap();
    let (readme, help) = (read("README.md"), read("reports/src/command/args.rs"));
    let (plan, evening) =
        (read("reports/assets/new-plan.toml"), read("reports/assets/new-evening.toml"));
    let tells = |text: &str, word: &str, place: &str| {
        let is_word = |(at, _): (usize, &str)| {
            let beside = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '_');
            beside(text[..at].chars().next_back()) && beside(text[at + word.len()..].chars().next())
        };
        assert!(text.match_indices(word).any(is_word), "{place} does not tell of {word}");
    };
    for occasion in Occasion::ALL.map(Occasion::word) {
        for (text, place) in
            [(&readme, "README.md"), (&help, "the help"), (&evening, "the first evening")]
        {
            tells(text, occasion, place);
        }
    }
    for limit in Limit::all() {
        tells(&readme, limit.key(), "README.md");
        tells(&help, limit.key(), "the help");
        tells(&readme, &format!("--{}", limit.key().replace('_', "-")), "README.md");
    }
    for word in Grade::ALL.map(Grade::word).into_iter().chain(Serves::ALL.map(Serves::word)) {
        tells(&readme, word, "README.md");
    }
    for kind in CATALOG.iter().map(|usual| usual.word) {
        tells(&readme, kind, "README.md");
    }
    assert!(plan.contains("kind = "), "the first plan shows no furniture");
}

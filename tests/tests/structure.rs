//! The layout of the code is what the module lists say, and DEVELOPERS.md names only what exists.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn files_of(module: &Path) -> Vec<PathBuf> {
    let single = module.with_extension("rs");
    if single.exists() {
        return vec![single];
    }
    let mut files: Vec<PathBuf> = std::fs::read_dir(module).unwrap().map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "rs")).collect();
    files.sort();
    files
}

fn modules(krate: &str) -> Vec<String> {
    let lib = std::fs::read_to_string(root().join(krate).join("src/lib.rs")).unwrap();
    lib.lines().filter_map(|l| l.strip_prefix("pub mod ").or(l.strip_prefix("mod "))?.strip_suffix(';').map(String::from)).collect()
}

#[test]
fn every_file_imports_only_from_modules_above_its_own() {
    for krate in ["sim", "reports"] {
        let modules = modules(krate);
        assert!(modules.len() >= 5, "{krate}: the module list was not found");
        for (i, module) in modules.iter().enumerate() {
            for file in files_of(&root().join(krate).join("src").join(module)) {
                let text = std::fs::read_to_string(&file).unwrap();
                for below in &modules[i + 1..] {
                    let import = format!("crate::{below}::");
                    assert!(!text.contains(&import), "{} imports {import} from below", file.display());
                }
            }
        }
    }
}

#[test]
fn each_library_is_used_only_where_it_belongs() {
    let homes = [
        ("toml::", "sim", "read"),
        ("rand", "sim", "chance"),
        ("rayon::", "sim", "parallel"),
        ("plotters::", "reports", "chart"),
        ("resvg::", "reports", "chart"),
    ];
    for (library, home_crate, home) in homes {
        for krate in ["sim", "reports"] {
            for module in modules(krate).iter().filter(|m| (krate, m.as_str()) != (home_crate, home)) {
                for file in files_of(&root().join(krate).join("src").join(module)) {
                    let text = std::fs::read_to_string(&file).unwrap();
                    let uses = text.lines().any(|l| l.trim_start().starts_with(&format!("use {library}")));
                    assert!(!uses, "{} uses {library}", file.display());
                }
            }
        }
    }
}

#[test]
fn developers_md_names_only_paths_that_exist() {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named: Vec<&str> = text.split('`').skip(1).step_by(2).filter(|t| t.contains('/') && !t.contains(' ') && !t.contains("::")).collect();
    assert!(named.len() >= 20, "DEVELOPERS.md names only {} paths", named.len());
    for path in named {
        assert!(root().join(path).exists(), "DEVELOPERS.md names {path}, which does not exist");
    }
}

#[test]
fn every_module_of_sim_is_in_developers_md() {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    for module in modules("sim") {
        assert!(text.contains(&format!("`sim/src/{module}")), "DEVELOPERS.md does not tell of {module}");
    }
}

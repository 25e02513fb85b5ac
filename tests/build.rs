//! Tells the tests whether there is a browser for them: Debian's Chromium on the path, node, and
//! the packages of `browser/`. Without, the tests in `tests/browser.rs` are counted as ignored, by
//! name.

use std::path::{Path, PathBuf};

fn main() {
    println!("cargo::rustc-check-cfg=cfg(browser)");
    println!("cargo::rerun-if-env-changed=PATH");
    let package = |name: &str| Path::new("browser/node_modules").join(name).join("package.json");
    let wanted =
        [on_path("chromium"), on_path("node"), package("playwright-core"), package("axe-core")];
    for file in &wanted {
        println!("cargo::rerun-if-changed={}", file.display());
    }
    if wanted.iter().all(|file| file.exists()) {
        println!("cargo::rustc-cfg=browser");
        println!("cargo::rustc-env=BROWSER={}", wanted[0].display());
    }
}

/// Where a program is, or would be.
fn on_path(program: &str) -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path)
        .map(|folder| folder.join(program))
        .find(|file| file.exists())
        .unwrap_or_else(|| Path::new("/usr/bin").join(program))
}

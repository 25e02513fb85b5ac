//! A part of a run: some of its evenings, played on their own, perhaps on another machine, with all
//! that is needed to join them with the others.

use crate::command::write::one_file::{OneFile, Sort};
use crate::command::{Stop, cannot_read};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use sim::evening::scenario::Occasion;
use sim::files::Asked;
use sim::floor::world::World;
use sim::study::ensemble::Ensemble;
use std::io::Read;
use std::ops::Range;
use std::path::Path;

const PARTS: Sort = Sort { option: "--part", holds: "part of a run", head: "elbowroom part 1" };
/// No part is larger, in bytes: evenings of a thousand guests, a hundred thousand of them.
const LARGEST: u64 = 8_000_000_000;

/// What all parts of one run have in common.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Common {
    /// Version of the program.
    pub version: String,
    /// The file that was asked about.
    pub file: String,
    /// The files read, with their texts.
    pub texts: Vec<(String, String)>,
    /// What was asked over them.
    pub asked: AskedOver,
    /// Seed.
    pub seed: u64,
}

/// What was asked over the files, as it is written there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct AskedOver {
    guests: Option<u32>,
    occasion: Option<String>,
    option: Option<String>,
    limits: Vec<(String, String)>,
}

impl AskedOver {
    pub(crate) fn of(asked: &Asked) -> AskedOver {
        AskedOver {
            guests: asked.guests,
            occasion: asked.occasion.map(|o| o.word().to_string()),
            option: asked.option.clone(),
            limits: asked.limits.clone(),
        }
    }

    pub(crate) fn asked(&self) -> Asked {
        Asked {
            guests: self.guests,
            occasion: self.occasion.as_deref().and_then(Occasion::from_word),
            option: self.option.clone(),
            limits: self.limits.clone(),
        }
    }
}

/// A part.
#[derive(Serialize, Deserialize)]
pub(crate) struct Part {
    pub common: Common,
    pub trials: Range<u32>,
    pub evenings: Ensemble,
}

/// A file that a part can be written to.
pub(crate) struct PartFile(OneFile);

impl PartFile {
    /// Sees that a path is free or holds a part, and takes it for this run.
    pub(crate) fn at(path: &Path) -> Result<PartFile, Stop> {
        OneFile::at(path, &PARTS).map(PartFile)
    }

    /// Writes it, and tells what was written.
    pub(crate) fn write(self, part: &Part) -> Result<String, Stop> {
        let body = postcard::to_allocvec(part).map_err(|e| Stop::Write(e.to_string()))?;
        let told = format!(
            "Wrote {} of seed {} to {}. `elbowroom merge` joins it with the others.",
            evenings(part.trials.clone()),
            part.common.seed,
            self.0.path().display()
        );
        self.0.write(|to| {
            to.write_all(&Sha256::digest(&body))?;
            to.write_all(&body)
        })?;
        Ok(told)
    }
}

/// "evening 3", "evenings 3 to 5".
pub(crate) fn evenings(trials: Range<u32>) -> String {
    match trials.len() {
        1 => format!("evening {}", trials.start),
        _ => format!("evenings {} to {}", trials.start, trials.end - 1),
    }
}

impl Part {
    /// Whether it holds evenings of a house: the ones it names, with what is counted at each spot.
    pub(crate) fn is_of(&self, world: &World) -> bool {
        let spots = world.spots.len();
        self.evenings.seed == self.common.seed
            && self.evenings.trials.iter().zip(self.trials.clone()).all(|(s, trial)| {
                let t = &s.tally;
                let by_spot = [t.served.len(), t.stood.len(), t.turned_away.len(), t.longest.len()];
                t.trial == trial
                    && by_spot.iter().chain(&[t.waits.len(), t.lines.len()]).all(|n| *n == spots)
            })
    }

    /// Reads a part, or tells why it is none.
    pub(crate) fn read(path: &Path) -> Result<Part, String> {
        let whole = bytes(path)?;
        let Some(rest) = whole.strip_prefix(format!("{}\n", PARTS.head).as_bytes()) else {
            return Err(
                "it is no part of a run; `elbowroom run FILE --part PART` writes one".into()
            );
        };
        let (sum, body) = rest.split_at_checked(32).ok_or("it is cut short; play it again")?;
        if Sha256::digest(body).as_slice() != sum {
            return Err("it is cut short or was changed; play it again".into());
        }
        let part: Part = postcard::from_bytes(body)
            .map_err(|_| "another version of elbowroom wrote it; play it again with this one")?;
        let evenings = part.trials.len();
        if evenings == 0 || evenings != part.evenings.len() {
            return Err("it does not hold the evenings it names; play it again".into());
        }
        Ok(part)
    }
}

fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let there = std::fs::metadata(path).map_err(cannot_read)?;
    if !there.is_file() {
        return Err("it is not a file".into());
    }
    if there.len() > LARGEST {
        return Err("it is larger than any part of a run".into());
    }
    let mut whole = vec![];
    std::fs::File::open(path)
        .and_then(|f| f.take(LARGEST).read_to_end(&mut whole))
        .map_err(cannot_read)?;
    Ok(whole)
}

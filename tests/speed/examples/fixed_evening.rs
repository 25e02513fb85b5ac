//! One evening of the row house with 40 guests, for counting instructions:
//! `valgrind --tool=callgrind --callgrind-out-file=/tmp/cg.out PROGRAM`.

use elbowroom_speed::with_guests;
use sim::crowd::trial::{Keep, run};

fn main() {
    let tally = run(&with_guests("winter-cocktails", 40), 1, 0, Keep::default()).0;
    println!("{} events, {} guests came", tally.events, tally.came);
}

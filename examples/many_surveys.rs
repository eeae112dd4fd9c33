//! How many surveys a second, and in how much memory? Writes generated surveys into folders of 100 and
//! of 1,000, runs `totals` on each and prints time and peak memory of that process.
//!
//!     cargo build --release && cargo run --release --example many_surveys -- target/release/plymend
//!
//! Peak memory is read from /proc while it runs, so on Linux only.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "an example says what it found, and this one has a clock"
)]

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

#[path = "../tests/surveys/generated.rs"]
mod generated;

/// Seconds and peak memory in MiB of one run.
fn run(program: &str, folder: &str, format: &str, threads: &str) -> (f64, f64) {
    let began = Instant::now();
    let mut child = Command::new(program)
        .args(["totals", folder, "--format", format, "--threads", threads])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program runs");
    let status = format!("/proc/{}/status", child.id());
    let mut peak_kib = 0.0_f64;
    while child.try_wait().expect("asked").is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find(|line| line.starts_with("VmHWM"));
        let kib = line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok());
        peak_kib = peak_kib.max(kib.unwrap_or(0.0));
        std::thread::sleep(Duration::from_millis(5));
    }
    (began.elapsed().as_secs_f64(), peak_kib / 1024.0)
}

fn main() {
    let program = std::env::args().nth(1).unwrap_or_else(|| "target/release/plymend".to_owned());
    let place = tempfile::tempdir().expect("a folder");
    println!(
        "{:>8} {:>7} {:>8} {:>9} {:>12} {:>9}",
        "surveys", "format", "threads", "seconds", "a second", "peak MiB"
    );
    for count in [100_u64, 1000] {
        let folder = place.path().join(count.to_string());
        std::fs::create_dir(&folder).expect("made");
        for number in 0..count {
            let file = folder.join(format!("{number:05}.ron"));
            std::fs::write(file, generated::survey(number)).expect("written");
        }
        let folder = folder.to_string_lossy();
        for (format, threads) in [("lines", "1"), ("lines", "2"), ("csv", "2")] {
            let (seconds, peak) = run(&program, &folder, format, threads);
            let rate = count as f64 / seconds;
            println!("{count:>8} {format:>7} {threads:>8} {seconds:>9.2} {rate:>12.1} {peak:>9.1}");
        }
    }
}

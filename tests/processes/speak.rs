//! The speaking program. In a test program of its own: a process that is being started holds, for a moment, every file and lock that
//! other tests of the same program have open.

use evenbite::tui::speak::start;

#[test]
fn a_hanging_program_never_blocks() {
    let to = start("sleep 30").unwrap();
    for n in 0..1000 {
        let _ = to.try_send(format!("line {n}"));
    }
}

#[test]
fn nothing_typed_becomes_a_command() {
    let dir = tempfile::tempdir().unwrap();
    let (out, trap) = (dir.path().join("out"), dir.path().join("trap"));
    let to = start(&format!("tee {}", out.display())).unwrap();
    to.send(format!("; touch {} $(touch {})\n`x`", trap.display(), trap.display())).unwrap();
    drop(to);
    let start = std::time::Instant::now();
    while std::fs::metadata(&out).map_or(0, |found| found.len()) == 0 {
        assert!(start.elapsed().as_secs() < 30);
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert!(!trap.exists());
    assert_eq!(std::fs::read_to_string(&out).unwrap().lines().count(), 1);
}

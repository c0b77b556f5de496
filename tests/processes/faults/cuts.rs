//! The power cut: a file system in a file, shut down under the program so that nothing unsynced reaches it, then mounted again.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::{CUTTERS, Script, Session, acknowledged, plain, starts, whole_round};
use super::oracle::Expected;
use super::tally::Tally;

/// Kinds, how large each must be at least, and what makes it.
const KINDS: [(&str, u64, &[&str]); 2] = [("ext4", 64, &["mkfs.ext4", "-qF"]), ("xfs", 320, &["mkfs.xfs", "-qf"])];
/// Cuts after which a loop is left for a new one.
const SESSIONS: usize = 10;

/// A file system of its own; it goes with its value.
struct Disk {
    folder: tempfile::TempDir,
    mounted: bool,
}

impl Disk {
    /// # Errors
    /// Why it cannot be had here.
    fn new(megabytes: u64, make: &[&str]) -> Result<Self, String> {
        if !rustix::process::geteuid().is_root() {
            return Err("only root can mount".to_owned());
        }
        let folder = tempfile::tempdir().unwrap();
        let disk = Self { folder, mounted: false };
        std::fs::create_dir(disk.place()).unwrap();
        std::fs::File::create(disk.image()).unwrap().set_len(megabytes << 20).unwrap();
        ran(Command::new(make[0]).args(&make[1..]).arg(disk.image()))?;
        ran(Command::new("xfs_io").arg("-V"))?;
        Ok(disk)
    }

    fn image(&self) -> PathBuf {
        self.folder.path().join("image")
    }

    fn place(&self) -> PathBuf {
        self.folder.path().join("disk")
    }

    fn mount(&mut self) -> Result<(), String> {
        ran(Command::new("mount").args(["-o", "loop"]).arg(self.image()).arg(self.place()))?;
        self.mounted = true;
        Ok(())
    }

    /// Nothing that is not on it by now gets there any more, its own log included.
    fn cut(&self) -> Result<(), String> {
        ran(Command::new("xfs_io").args(["-x", "-c", "shutdown"]).arg(self.place()))
    }

    fn unmount(&mut self) -> Result<(), String> {
        let mut last = Ok(());
        for _ in 0..100 {
            last = ran(Command::new("umount").arg(self.place()));
            if last.is_ok() {
                self.mounted = false;
                return last;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        last
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        if self.mounted {
            // At worst the mount stays; there is nobody left to tell.
            let _ = self.unmount();
        }
    }
}

fn ran(command: &mut Command) -> Result<(), String> {
    let name = command.get_program().to_string_lossy().into_owned();
    match command.output() {
        Ok(output) if output.status.success() => Ok(()),
        Ok(output) => Err(format!("{name}: {}", String::from_utf8_lossy(&output.stderr).trim())),
        Err(error) => Err(format!("{name}: {error}")),
    }
}

/// So many cuts on each kind of file system that can be had here.
pub(super) fn lap(random: &mut TestRunner, cuts: usize, tally: &mut Tally) {
    for (index, (kind, megabytes, make)) in KINDS.into_iter().enumerate().filter(|_| cuts > 0) {
        let made = Disk::new(megabytes, make).and_then(|mut disk| disk.mount().map(|()| disk));
        match made {
            Ok(disk) => on(disk, kind, index, random, cuts, tally),
            Err(why) => {
                tally.skipped.insert(format!("power cuts on {kind}: {why}"));
            }
        }
    }
}

fn on(mut disk: Disk, kind: &str, index: usize, random: &mut TestRunner, cuts: usize, tally: &mut Tally) {
    let said = disk.folder.path().join("said");
    let mut left = cuts;
    for turn in 0.. {
        if left == 0 {
            break;
        }
        let data = disk.place().join(format!("data{turn}"));
        let latest = whole_round(&data, &said, random);
        let mut expected = Expected::default();
        for _ in 0..SESSIONS.min(left) {
            let most = random.rng().random_range(1..=CUTTERS);
            let script = Script::next(&data, "bench", most, random);
            if script.readings.is_empty() {
                break;
            }
            left -= 1;
            expected.typed(&script.readings);
            let heard = cut_once(&mut disk, &data, &script, &said, latest, random);
            tally.cuts[index] += 1;
            tally.acknowledged += expected.acknowledged(&acknowledged(&heard));
            expected.judge(&data, "bench", &format!("power cut on {kind}"), tally);
            if let Err(why) = starts(&data, &said) {
                tally.silent(1, || format!("power cut on {kind}: {why}"));
            }
        }
        // Where every cut came before the first write there is nothing to take away.
        if data.exists() {
            std::fs::remove_dir_all(&data).unwrap();
        }
    }
}

/// Works, cuts, mounts again; what was said before the cut.
fn cut_once(
    disk: &mut Disk,
    data: &Path,
    script: &Script,
    said: &Path,
    latest: Duration,
    random: &mut TestRunner,
) -> String {
    let session = Session::start(&mut plain(data), &script.lines, said);
    std::thread::sleep(latest.mul_f64(random.rng().random_range(0.0..1.0)));
    disk.cut().unwrap();
    // The program may find the disk gone and say so; what it acknowledges still counts.
    std::thread::sleep(Duration::from_millis(random.rng().random_range(0..20)));
    let heard = session.kill();
    disk.unmount().unwrap();
    disk.mount().unwrap();
    heard
}

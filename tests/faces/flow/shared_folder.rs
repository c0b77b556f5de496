//! A data folder that other users can write into.

use std::fs::{Permissions, set_permissions};
use std::os::unix::fs::PermissionsExt;

use super::super::played::{Bench, COLOUR};

/// The rack as it is first seen, over a data folder of that mode.
fn rack(mode: u32) -> Bench {
    let dir = crate::scratch::folder();
    std::fs::create_dir(dir.path().join("data")).unwrap();
    set_permissions(dir.path().join("data"), Permissions::from_mode(mode)).unwrap();
    Bench::over(dir, (120, 24), COLOUR)
}

#[test]
fn that_others_can_change_it_is_said_at_the_start() {
    for mode in [0o777, 0o720, 0o702] {
        rack(mode).sees("other users can change what is in it.").run("key Down\n").sees("open n new");
    }
}

#[test]
fn a_folder_that_others_can_only_read_is_no_news() {
    let text = rack(0o755).screen();
    assert!(!text.contains("other users"), "{text}");
}

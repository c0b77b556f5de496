//! The plain face over a data folder that other users can write into.

use std::fs::{Permissions, create_dir, set_permissions};
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};

/// What the plain face says over a folder of that mode, when nobody answers it.
fn said(mode: u32) -> String {
    let dir = crate::scratch::folder();
    let data = dir.path().join("data");
    create_dir(&data).unwrap();
    set_permissions(&data, Permissions::from_mode(mode)).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
    command.arg("--data").arg(&data).arg("--plain").stdin(Stdio::null());
    String::from_utf8(command.output().unwrap().stdout).unwrap()
}

#[test]
fn the_plain_face_says_that_others_can_change_it() {
    assert!(said(0o777).contains("other users can change what is in it."), "{}", said(0o777));
    assert!(!said(0o755).contains("other users"), "{}", said(0o755));
}

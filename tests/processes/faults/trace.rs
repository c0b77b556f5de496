//! What strace tells of a program's system calls.

use std::collections::HashMap;
use std::path::Path;
use std::process::Command;

/// Calls that may touch the disk.
pub(super) const DISK: &str = "openat,read,pread64,write,pwrite64,lseek,fsync,fdatasync,ftruncate,rename,renameat,renameat2,link,\
linkat,unlink,unlinkat,mkdir,mkdirat,flock,statx,newfstatat,getdents64,close";

/// One call of the program's first thread, whole.
#[derive(Debug, Clone)]
pub(super) struct Call {
    pub name: String,
    /// Between the brackets.
    pub args: String,
    /// What it gave back; -1 where it failed.
    pub result: i64,
    /// Whether the tracer made that result, or it was the last call of a program that the tracer killed.
    pub disturbed: bool,
}

impl Call {
    /// Its strings, as the bytes that they stand for.
    pub(super) fn strings(&self) -> Vec<Vec<u8>> {
        strings(&self.args)
    }

    /// Its last argument, where that is a number: of a write the bytes it is to write.
    pub(super) fn last(&self) -> Option<usize> {
        self.args.rsplit(", ").next().and_then(|text| text.parse().ok())
    }

    /// The file that is its first argument, as a number.
    pub(super) fn file(&self) -> Option<u32> {
        let digits: String = self.args.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().ok()
    }
}

/// Why no calls can be traced here.
pub(super) fn cannot() -> Option<String> {
    match Command::new("strace").args(["-qq", "-o", "/dev/null", "true"]).output() {
        Ok(output) if output.status.success() => None,
        Ok(output) => Some(format!("strace: {}", String::from_utf8_lossy(&output.stderr).trim())),
        Err(error) => Some(format!("strace: {error}")),
    }
}

/// Calls by strace's own file, those of threads beside the first left out.
pub(super) fn read(path: &Path) -> Vec<Call> {
    let text = String::from_utf8_lossy(&std::fs::read(path).unwrap_or_default()).into_owned();
    let killed = text.contains("+++ killed by SIGKILL +++");
    let mut begun: HashMap<&str, String> = HashMap::new();
    let mut first = None;
    let mut calls = Vec::new();
    for line in text.lines() {
        let Some((thread, rest)) = line.split_once(' ') else { continue };
        let rest = rest.trim_start();
        if *first.get_or_insert(thread) != thread {
            continue;
        }
        let whole = if let Some(start) = rest.strip_suffix(" <unfinished ...>") {
            begun.insert(thread, start.to_owned());
            continue;
        } else if rest.starts_with("<... ") {
            let end = rest.split_once("resumed>").map_or("", |(_, end)| end);
            begun.remove(thread).unwrap_or_default() + end
        } else {
            rest.to_owned()
        };
        if killed && let Some(start) = whole.trim_end().strip_suffix("= ?") {
            let last = call(&format!("{start}= -1"));
            calls.extend(last.map(|call| Call { disturbed: true, ..call }));
        }
        calls.extend(call(&whole));
    }
    calls
}

/// The one call that the tracer disturbed; none where it disturbed none, or more than one.
pub(super) fn disturbed(path: &Path) -> Option<Call> {
    let text = String::from_utf8_lossy(&std::fs::read(path).ok()?).into_owned();
    let mut found = read(path).into_iter().filter(|call| call.disturbed);
    let one = found.next()?;
    (text.matches("(INJECTED)").count() <= 1 && found.next().is_none()).then_some(one)
}

fn call(line: &str) -> Option<Call> {
    let (name, rest) = line.split_once('(')?;
    let (args, result) = rest.rsplit_once(") = ").or_else(|| {
        // strace sets short calls in columns.
        let at = rest.rfind(" = ")?;
        Some((rest[..at].trim_end().strip_suffix(')')?, &rest[at + 3..]))
    })?;
    let number: String = result.chars().take_while(|c| c.is_ascii_digit() || *c == '-').collect();
    let disturbed = result.ends_with("(INJECTED)");
    Some(Call { name: name.to_owned(), args: args.trim_end().to_owned(), result: number.parse().ok()?, disturbed })
}

/// The quoted strings of a call, unescaped.
fn strings(args: &str) -> Vec<Vec<u8>> {
    let bytes = args.as_bytes();
    let (mut found, mut at) = (Vec::new(), 0);
    while let Some(open) = bytes[at..].iter().position(|b| *b == b'"') {
        at += open + 1;
        let mut text = Vec::new();
        while at < bytes.len() && bytes[at] != b'"' {
            if bytes[at] == b'\\' && at + 1 < bytes.len() {
                at += 1;
                let (byte, length) = escaped(&bytes[at..]);
                text.push(byte);
                at += length;
            } else {
                text.push(bytes[at]);
                at += 1;
            }
        }
        at += 1;
        found.push(text);
        if at >= bytes.len() {
            break;
        }
    }
    found
}

/// What stands after a backslash: the byte, and how many signs make it.
fn escaped(rest: &[u8]) -> (u8, usize) {
    match rest[0] {
        b'n' => (b'\n', 1),
        b't' => (b'\t', 1),
        b'r' => (b'\r', 1),
        b'v' => (0x0B, 1),
        b'f' => (0x0C, 1),
        digit @ b'0'..=b'7' => {
            let digits = rest.iter().take(3).take_while(|b| matches!(b, b'0'..=b'7')).count();
            let value = rest[1..digits].iter().fold(u32::from(digit - b'0'), |sum, b| sum * 8 + u32::from(b - b'0'));
            (u8::try_from(value).unwrap_or(b'?'), digits)
        }
        other => (other, 1),
    }
}

#[test]
fn what_strace_prints_is_understood() {
    let line = r#"write(5, "\n[[event]]\ntyped = \"8,05\" \303\251\0\0017", 42) = 42"#;
    let found = call(line).unwrap();
    assert_eq!((found.name.as_str(), found.file(), found.result), ("write", Some(5), 42));
    assert_eq!(found.strings(), [b"\n[[event]]\ntyped = \"8,05\" \xC3\xA9\0\x017".to_vec()]);
    let found = call("close(5)                                = 0").unwrap();
    assert_eq!((found.args.as_str(), found.result), ("5", 0));
    let found = call(r#"openat(AT_FDCWD, "data/x", O_RDONLY) = -1 ENOENT (No such file or directory)"#).unwrap();
    assert_eq!((found.strings(), found.result), (vec![b"data/x".to_vec()], -1));
    let found = call(r#"write(3</tmp/a>, "ab"..., 8325) = 8326 (INJECTED)"#).unwrap();
    assert_eq!((found.last(), found.result, found.disturbed), (Some(8325), 8326, true));
}

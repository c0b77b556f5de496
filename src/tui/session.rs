//! The terminal: entered once, left once by every way out.
//!
//! Keys, signals and instruments are read by threads of their own that do nothing but wait; the main thread waits for
//! one of them, so an idle program does not wake at all.

use std::io::{self, Write, stdout};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::Duration;

use anyhow::{Context as _, Result};
use chrono::Local;
use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture, Event, KeyCode, KeyEvent,
    KeyEventKind, KeyModifiers,
};
use crossterm::terminal::{
    BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
    enable_raw_mode,
};
use crossterm::{cursor, execute, queue};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;

use super::app::{App, Msg};
use super::desk::Desk;
use super::drive::{begin, drive};
use super::typed;
use super::wake::Wake;
use crate::devices::Sent;
use crate::system::{self, Signal};

/// An instrument that types sends its characters within this time of each other; a hand does not.
const BURST_GAP: Duration = Duration::from_millis(4);

/// True while the terminal is ours.
static ENTERED: AtomicBool = AtomicBool::new(false);
/// True while the terminal reports its mouse to us.
static MOUSE: AtomicBool = AtomicBool::new(false);

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    ENTERED.store(true, Ordering::SeqCst);
    execute!(stdout(), EnterAlternateScreen, EnableBracketedPaste, cursor::Hide)
}

/// Has the terminal report its mouse, or no more; off by default, so that it goes on selecting text.
fn listen_to_mouse(on: bool) -> io::Result<()> {
    match (on, MOUSE.swap(on, Ordering::SeqCst)) {
        (true, false) => execute!(stdout(), EnableMouseCapture),
        (false, true) => execute!(stdout(), DisableMouseCapture),
        _ => Ok(()),
    }
}

/// Gives the terminal back. Safe to call twice, from any way out, and never fails loudly.
pub(crate) fn leave() {
    if ENTERED.swap(false, Ordering::SeqCst) {
        let _ = listen_to_mouse(false);
        let _ = execute!(stdout(), EndSynchronizedUpdate, DisableBracketedPaste, LeaveAlternateScreen, cursor::Show);
        let _ = disable_raw_mode();
    }
}

/// Leaves the terminal when dropped, so that `?` cannot forget it.
struct Guard;

impl Drop for Guard {
    fn drop(&mut self) {
        leave();
    }
}

/// Restores the terminal before a panic is printed, so that its message can be read.
fn hook_panics() {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        leave();
        before(info);
    }));
}

/// Runs the application in this terminal until it ends.
///
/// # Errors
/// When the terminal cannot be taken over or written to. It is given back first.
pub(crate) fn run(app: &mut App, desk: &mut Desk, wakes: (Sender<Wake>, Receiver<Wake>)) -> Result<()> {
    let (sender, receiver) = wakes;
    hook_panics();
    let to = sender.clone();
    system::watch_signals(move |signal| to.send(Wake::Signal(signal)).is_ok()).context("cannot watch for signals")?;
    let _guard = Guard;
    enter().context("cannot take over the terminal")?;
    let mut terminal = Terminal::new(CrosstermBackend::new(stdout())).context("cannot draw on the terminal")?;
    let to = sender.clone();
    system::watch_hangup(move || drop(to.send(Wake::Gone)));
    listen_to_mouse(desk.settings.mouse).context("cannot switch the mouse")?;
    // The first frame shows what is known at once; the rest is read beside the keys.
    desk.load_beside(sender.clone());
    app.watched = desk.settings.motion;
    begin(app, desk);
    thread::spawn(move || typed::watch(&sender));
    show(&mut terminal, app, desk).context("cannot draw")?;
    let outcome = wait_and_draw(app, desk, &mut terminal, &receiver);
    leave();
    outcome
}

/// The channel on which the waiting threads report.
pub(crate) fn wakes() -> (Sender<Wake>, Receiver<Wake>) {
    channel()
}

fn wait_and_draw(
    app: &mut App,
    desk: &mut Desk,
    terminal: &mut Terminal<CrosstermBackend<io::Stdout>>,
    receiver: &Receiver<Wake>,
) -> Result<()> {
    let mut held: Option<Wake> = None;
    while !app.done {
        let wake = match held.take() {
            Some(wake) => wake,
            None => match next(receiver, app.next_frame()) {
                Some(wake) => wake,
                None => {
                    app.update(Msg::Frame, Local::now().fixed_offset());
                    show(terminal, app, desk).context("cannot draw")?;
                    continue;
                }
            },
        };
        let gone = matches!(wake, Wake::Gone | Wake::Signal(Signal::HangUp));
        handle(app, desk, terminal, receiver, wake, &mut held)?;
        // Everything that is already waiting is taken before the next frame.
        while held.is_none() && !app.done {
            match receiver.try_recv() {
                Ok(wake) => handle(app, desk, terminal, receiver, wake, &mut held)?,
                Err(_) => break,
            }
        }
        if gone {
            return Ok(());
        }
        if !app.done {
            show(terminal, app, desk).context("cannot draw")?;
        }
    }
    Ok(())
}

/// What comes next; none where it is time for the next picture of what moves. Where nothing moves, nothing but what comes
/// wakes the program.
fn next(receiver: &Receiver<Wake>, frame: Option<Duration>) -> Option<Wake> {
    let Some(left) = frame else { return Some(receiver.recv().unwrap_or(Wake::Gone)) };
    match receiver.recv_timeout(left) {
        Ok(wake) => Some(wake),
        Err(RecvTimeoutError::Timeout) => None,
        Err(RecvTimeoutError::Disconnected) => Some(Wake::Gone),
    }
}

fn handle(
    app: &mut App,
    desk: &mut Desk,
    terminal: &mut Terminal<CrosstermBackend<io::Stdout>>,
    receiver: &Receiver<Wake>,
    wake: Wake,
    held: &mut Option<Wake>,
) -> Result<()> {
    let msg = match wake {
        Wake::Terminal(Event::Mouse(mouse)) => Msg::Mouse(mouse),
        Wake::Terminal(Event::Key(key)) => gather(app, key, receiver, held),
        Wake::Terminal(Event::Paste(text)) => Msg::Paste(text),
        Wake::Source(Sent::Line(text)) => Msg::Sent(text),
        Wake::Source(Sent::Unfinished(text)) => Msg::CutOff(text),
        Wake::Source(Sent::Held) => Msg::Held(desk.held.count()),
        Wake::Source(Sent::Away(why)) => Msg::Away(why),
        Wake::Notice(text) => {
            app.shared.notice = Some(text);
            Msg::Resize
        }
        Wake::Rack(news) => {
            let effects = app.rack(news);
            drive(app, desk, effects);
            Msg::Resize
        }
        Wake::Joining(joining) => {
            let effects = app.joining(joining);
            drive(app, desk, effects);
            Msg::Resize
        }
        Wake::Signal(Signal::Suspend) => {
            suspend(terminal)?;
            Msg::Resize
        }
        Wake::Terminal(_) | Wake::Signal(Signal::Continue | Signal::Resized) => Msg::Resize,
        Wake::Signal(_) | Wake::Gone => Msg::Hangup,
    };
    let effects = app.update(msg, Local::now().fixed_offset());
    let suspended = drive(app, desk, effects);
    app.watched = desk.settings.motion;
    listen_to_mouse(desk.settings.mouse).context("cannot switch the mouse")?;
    for _ in 0..std::mem::take(&mut desk.rings) {
        stdout().write_all(b"\x07").context("cannot ring the bell")?;
    }
    if suspended {
        suspend(terminal)?;
    }
    Ok(())
}

/// One key, or the whole line where an instrument typed it: letters come first only from instruments, and would
/// otherwise act as commands.
fn gather(app: &App, key: KeyEvent, receiver: &Receiver<Wake>, held: &mut Option<Wake>) -> Msg {
    let Some(first) = plain(key).filter(|c| c.is_alphabetic() && app.letters_act()) else { return Msg::Key(key) };
    let mut line = String::from(first);
    loop {
        match receiver.recv_timeout(BURST_GAP) {
            Ok(Wake::Terminal(Event::Key(next))) if next.kind == KeyEventKind::Release => {}
            Ok(Wake::Terminal(Event::Key(next))) if next.code == KeyCode::Enter && line.len() > 1 => {
                line.push('\n');
                return Msg::Line(line);
            }
            Ok(Wake::Terminal(Event::Key(next))) if plain(next).is_some() => line.extend(plain(next)),
            Ok(other) => {
                *held = Some(other);
                break;
            }
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => break,
        }
    }
    if line.chars().count() == 1 { Msg::Key(key) } else { Msg::Line(line) }
}

fn plain(key: KeyEvent) -> Option<char> {
    match key.code {
        KeyCode::Char(c) if !key.modifiers.intersects(KeyModifiers::CONTROL | KeyModifiers::ALT) => Some(c),
        _ => None,
    }
}

/// Draws, and once more where the frame has room for something that must be fetched first.
fn show(terminal: &mut Terminal<CrosstermBackend<io::Stdout>>, app: &mut App, desk: &mut Desk) -> io::Result<()> {
    draw(terminal, app)?;
    let effects = app.drawn();
    if effects.is_empty() {
        return Ok(());
    }
    drive(app, desk, effects);
    draw(terminal, app)
}

fn draw(terminal: &mut Terminal<CrosstermBackend<io::Stdout>>, app: &App) -> io::Result<()> {
    queue!(stdout(), BeginSynchronizedUpdate)?;
    let drawn = terminal.draw(|frame| app.draw(frame)).map(|_| ());
    execute!(stdout(), EndSynchronizedUpdate)?;
    drawn
}

/// Gives the terminal back, stops until the shell continues us, and takes it over again.
fn suspend(terminal: &mut Terminal<CrosstermBackend<io::Stdout>>) -> Result<()> {
    let mouse = MOUSE.load(Ordering::SeqCst);
    leave();
    stdout().flush().ok();
    system::suspend().context("cannot stop")?;
    enter().context("cannot take the terminal over again")?;
    listen_to_mouse(mouse).context("cannot switch the mouse")?;
    // A fresh one draws everything; clearing the old one would ask the terminal where its cursor is, and wait.
    *terminal = Terminal::new(CrosstermBackend::new(stdout())).context("cannot draw")?;
    Ok(())
}

//! Messages on standard input and output.
//!
//! The protocol library's own reader ends at the first message it cannot read.
//! This one tells what was wrong and goes on with the next. One thread reads and
//! one writes, so that no message waits for anything but the pipe.

use serde::Serialize;
use serde_json::Value;
use std::io::{self, BufRead, Read, Write};
use std::sync::mpsc::{self, Receiver, Sender};
use tower_lsp::jsonrpc::{Error, Id, Request, Response};

/// A longer message is passed over: the longest file that is read is far shorter.
const MOST_BYTES: u64 = 1 << 28;

/// A longer line is no header.
const MOST_HEADER: u64 = 1 << 12;

/// What the editor sent.
#[derive(Debug)]
pub enum Incoming {
    /// A request or a notification.
    Request(Request),
    /// The answer to a request of the server.
    Response(Response),
    /// Something that is neither, with what has to be answered.
    Unreadable(Response),
}

/// Reads the next message; none at the end of the input.
///
/// # Errors
/// When the input cannot be read.
pub fn next(input: &mut impl BufRead) -> io::Result<Option<Incoming>> {
    let mut length = None;
    let mut is_garbled = false;
    let mut line = Vec::new();
    loop {
        line.clear();
        if input.take(MOST_HEADER).read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let text = line.trim_ascii();
        if !text.is_empty() {
            match header(text) {
                Some((name, value)) if name.eq_ignore_ascii_case("content-length") => {
                    length = value.parse::<u64>().ok();
                    is_garbled |= length.is_none();
                }
                Some(_) => {}
                None => is_garbled = true,
            }
        } else if let Some(length) = length {
            return body(input, length);
        } else if is_garbled {
            return Ok(Some(unreadable(Id::Null, Error::parse_error())));
        }
    }
}

/// A header's name and value. What stands on the line before the length is the
/// rest of a message whose own length was wrong.
fn header(line: &[u8]) -> Option<(&str, &str)> {
    const LENGTH: &str = "Content-Length:";
    let text = std::str::from_utf8(line).ok()?;
    let text = text.rfind(LENGTH).map_or(text, |at| &text[at..]);
    let (name, value) = text.split_once(':')?;
    let is_name = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
    (!name.is_empty() && name.chars().all(is_name)).then_some((name, value.trim()))
}

fn body(input: &mut impl BufRead, length: u64) -> io::Result<Option<Incoming>> {
    let mut body = Vec::new();
    if length > MOST_BYTES {
        io::copy(&mut input.take(length), &mut io::sink())?;
        return Ok(Some(unreadable(Id::Null, Error::parse_error())));
    }
    input.take(length).read_to_end(&mut body)?;
    if (body.len() as u64) < length {
        return Ok(None);
    }
    Ok(Some(message(&body)))
}

fn message(body: &[u8]) -> Incoming {
    let Ok(value) = serde_json::from_slice::<Value>(body) else {
        return unreadable(Id::Null, Error::parse_error());
    };
    let id = value
        .get("id")
        .and_then(|id| serde_json::from_value(id.clone()).ok());
    let read = if value.get("method").is_some() {
        serde_json::from_value(value).map(Incoming::Request)
    } else if id.is_some() {
        serde_json::from_value(value).map(Incoming::Response)
    } else {
        return unreadable(Id::Null, Error::invalid_request());
    };
    read.unwrap_or_else(|_| unreadable(id.unwrap_or_default(), Error::invalid_request()))
}

fn unreadable(id: Id, error: Error) -> Incoming {
    Incoming::Unreadable(Response::from_error(id, error))
}

/// What goes to the editor.
enum Outgoing {
    /// A message with its header.
    Message(Vec<u8>),
    /// The process is to end with this status, behind all that was sent before.
    Leave(i32),
}

/// The way to the editor; every holder's messages go out in the order they were sent.
#[derive(Clone, Debug)]
pub struct Outbox(Sender<Outgoing>);

/// What has been sent and not written yet.
pub struct Unwritten(Receiver<Outgoing>);

/// A notification in the form of the protocol.
#[derive(Serialize)]
struct Notification<P> {
    jsonrpc: &'static str,
    method: &'static str,
    params: P,
}

impl Outbox {
    /// A way, and its other end.
    pub fn new() -> (Outbox, Unwritten) {
        let (sender, receiver) = mpsc::channel();
        (Outbox(sender), Unwritten(receiver))
    }

    /// Sends a message.
    pub fn send(&self, message: &impl Serialize) {
        // Answers are plain data, which always can be written as JSON.
        let Ok(body) = serde_json::to_vec(message) else {
            return;
        };
        let mut bytes = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
        bytes.extend(body);
        // The other end is gone only when the process ends.
        let _ = self.0.send(Outgoing::Message(bytes));
    }

    /// Tells something.
    pub fn tell<N>(&self, params: N::Params)
    where
        N: tower_lsp::lsp_types::notification::Notification,
        N::Params: Serialize,
    {
        self.send(&Notification {
            jsonrpc: "2.0",
            method: N::METHOD,
            params,
        });
    }

    /// Ends the process once everything before is written.
    pub fn leave(&self, status: i32) {
        let _ = self.0.send(Outgoing::Leave(status));
    }
}

/// Writes what is sent until the process is to end; gives its status.
///
/// # Errors
/// When the output is closed: nobody listens any more.
pub fn write(unwritten: &Unwritten, output: &mut impl Write) -> io::Result<i32> {
    while let Ok(first) = unwritten.0.recv() {
        let mut next = Some(first);
        while let Some(outgoing) = next {
            match outgoing {
                Outgoing::Message(bytes) => output.write_all(&bytes)?,
                Outgoing::Leave(status) => {
                    output.flush()?;
                    return Ok(status);
                }
            }
            next = unwritten.0.try_recv().ok();
        }
        output.flush()?;
    }
    Ok(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn framed(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    /// What is read of an input, in words.
    fn read(input: &str) -> Vec<String> {
        let mut bytes = input.as_bytes();
        let mut found = Vec::new();
        while let Ok(Some(incoming)) = next(&mut bytes) {
            found.push(match incoming {
                Incoming::Request(request) => request.method().to_owned(),
                Incoming::Response(response) => format!("answer {}", response.id()),
                Incoming::Unreadable(response) => {
                    let code = response.error().map_or(0, |error| error.code.code());
                    format!("error {code} {}", response.id())
                }
            });
        }
        found
    }

    const SHUTDOWN: &str = r#"{"jsonrpc":"2.0","id":1,"method":"shutdown"}"#;

    #[test]
    fn messages_follow_one_another() {
        let answer = framed(r#"{"jsonrpc":"2.0","id":"a","result":null}"#);
        let input = framed(SHUTDOWN) + &answer + &framed(SHUTDOWN);
        assert_eq!(read(&input), ["shutdown", "answer \"a\"", "shutdown"]);
    }

    #[test]
    fn what_cannot_be_read_is_told_and_the_next_is_read() {
        let cases = [
            ("{", "error -32700 null"),
            ("[]", "error -32600 null"),
            ("7", "error -32600 null"),
            ("", "error -32700 null"),
            (r#"{"jsonrpc":"2.0"}"#, "error -32600 null"),
            (r#"{"jsonrpc":"2.0","id":5,"method":7}"#, "error -32600 5"),
            (
                r#"{"jsonrpc":"1.0","id":5,"method":"shutdown"}"#,
                "error -32600 5",
            ),
        ];
        for (body, told) in cases {
            let input = framed(body) + &framed(SHUTDOWN);
            assert_eq!(read(&input), [told, "shutdown"], "{body}");
        }
    }

    #[test]
    fn headers_may_be_written_in_any_way() {
        let other = format!(
            "content-length:{}\nX-Other: a:b\nContent-Type: text\n\n{SHUTDOWN}",
            SHUTDOWN.len()
        );
        assert_eq!(read(&other), ["shutdown"]);
        for garbage in [
            "\r\n\r\n",
            "garbage\r\n\r\n",
            "Content-Length: many\r\n\r\n",
        ] {
            let found = read(&(garbage.to_owned() + &framed(SHUTDOWN)));
            assert_eq!(
                found.last().map(String::as_str),
                Some("shutdown"),
                "{garbage:?}"
            );
        }
    }

    #[test]
    fn a_length_that_is_wrong_spoils_one_message_only() {
        let short = format!("Content-Length: {}\r\n\r\n{SHUTDOWN}", SHUTDOWN.len() - 1);
        let found = read(&(short + &framed(SHUTDOWN)));
        assert_eq!(found, ["error -32700 null", "shutdown"]);
        let long = format!("Content-Length: 9999\r\n\r\n{SHUTDOWN}");
        assert_eq!(read(&long), Vec::<String>::new());
    }

    #[test]
    fn messages_go_out_in_order_and_the_end_comes_last() {
        let (outbox, unwritten) = Outbox::new();
        outbox.send(&1);
        outbox.send(&"µ");
        outbox.leave(3);
        let mut out = Vec::new();
        assert_eq!(write(&unwritten, &mut out).ok(), Some(3));
        let text = String::from_utf8_lossy(&out);
        assert_eq!(
            text,
            "Content-Length: 1\r\n\r\n1Content-Length: 4\r\n\r\n\"µ\""
        );
    }
}

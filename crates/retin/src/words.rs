//! Sentences that read like sentences: articles, lists, and one place or several.

/// A type, a size or a word with its article, as it is said aloud: an LM317, a
/// 2N3904, an 8x12, an 11mm, an antilog.
pub(crate) fn with_article(said: &str) -> String {
    format!("{} {said}", if opens_with_vowel(said) { "an" } else { "a" })
}

fn opens_with_vowel(said: &str) -> bool {
    let digits = said.bytes().take_while(u8::is_ascii_digit).count();
    if digits > 0 {
        // Eight, eighty, eight hundred; eleven and eighteen, also of thousands.
        return said.starts_with('8')
            || (digits % 3 == 2 && (said.starts_with("11") || said.starts_with("18")));
    }
    let mut letters = said.chars();
    let (first, second) = (letters.next(), letters.next());
    // Capitals are spelled out: an F, an L, an S.
    if second.is_none_or(|letter| !letter.is_lowercase()) {
        return first.is_some_and(|letter| "AEFHILMNORSX".contains(letter));
    }
    first.is_some_and(|letter| "aeioAEIO".contains(letter))
}

/// "one", "one and two", "one, two and three".
pub(crate) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A count with what is counted, one or several: "1 part", "3 parts".
pub(crate) fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

/// A sentence with its places filled in: `{place}` becomes the subject, and
/// `{place asks}` the subject with its verb, which follows the count of places.
pub(crate) fn told_of(sentence: &str, subject: &str, is_one: bool) -> String {
    const MARK: &str = "{place";
    let mut told = String::with_capacity(sentence.len() + subject.len());
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once(MARK) {
        let Some((verb, behind)) = after.split_once('}') else {
            break;
        };
        told.push_str(before);
        told.push_str(subject);
        if let Some(verb) = verb.strip_prefix(' ') {
            told.push(' ');
            told.push_str(if is_one { verb } else { plural(verb) });
        }
        rest = behind;
    }
    told.push_str(rest);
    told
}

/// A verb as it follows several: ask for asks.
fn plural(verb: &str) -> &str {
    match verb {
        "is" => "are",
        "was" => "were",
        "has" => "have",
        _ => verb.strip_suffix('s').unwrap_or(verb),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_article_follows_the_sound() {
        for said in [
            "an 8x12",
            "an 80mm",
            "an 11V",
            "an 18000h",
            "an LM317",
            "an antilog",
        ] {
            let (_, bare) = said.split_once(' ').unwrap_or_default();
            assert_eq!(with_article(bare), said);
        }
        for said in [
            "a 5x11", "a 110V", "a 180V", "a 1N4148", "a TO-92", "a log", "a user",
        ] {
            let (_, bare) = said.split_once(' ').unwrap_or_default();
            assert_eq!(with_article(bare), said);
        }
    }

    #[test]
    fn a_verb_follows_its_places() {
        let sentence = "it is 22uF, and {place asks} for 10uF at {place}";
        assert_eq!(
            told_of(sentence, "psu.C1", true),
            "it is 22uF, and psu.C1 asks for 10uF at psu.C1"
        );
        assert_eq!(
            told_of(sentence, "ch1..ch8.C6", false),
            "it is 22uF, and ch1..ch8.C6 ask for 10uF at ch1..ch8.C6"
        );
        assert_eq!(
            told_of("{place was} here", "a and b", false),
            "a and b were here"
        );
    }
}

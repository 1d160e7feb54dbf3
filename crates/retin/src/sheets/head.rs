//! What every page carries.

use super::document::Head;
use super::job::CheckedJob;
use retin_syntax::tables::Property;

/// The head of a document about one job or several.
pub fn head(title: &str, jobs: &[&CheckedJob<'_, '_>]) -> Head {
    let joined = |say: &dyn Fn(&CheckedJob<'_, '_>) -> Option<String>| {
        let mut said: Vec<String> = Vec::new();
        for text in jobs.iter().filter_map(|job| say(job)) {
            if !text.is_empty() && !said.contains(&text) {
                said.push(text);
            }
        }
        said.join(", ")
    };
    let some = |text: String| (!text.is_empty()).then_some(text);
    let unit = joined(&|job| Some(unit(job)));
    let serial = joined(&|job| {
        let serial = job.job.facts.word(Property::Serial)?;
        (!says_word(&self::unit(job), serial)).then(|| serial.to_owned())
    });
    Head {
        title: title.to_owned(),
        job: joined(&|job| Some(job.job.number.to_owned())),
        serial: some(serial),
        unit,
        model_revision: some(joined(&|job| {
            let revision = job.job.facts.number(Property::Revision)?;
            Some(revision.normalize().to_string())
        })),
        file_revision: joined(&|job| Some(job.revision.to_string())),
        not_checked: jobs.iter().map(|job| job.not_checked()).sum(),
        errors: jobs.iter().map(|job| job.errors()).sum(),
    }
}

/// The unit: as the job's heading calls it, else as its model sheet does.
fn unit(job: &CheckedJob<'_, '_>) -> String {
    let model = || job.case.model.as_ref().map_or("", |model| model.title);
    let title = job.job.title;
    if title.is_empty() { model() } else { title }.to_owned()
}

/// Whether a text says a word already.
fn says_word(text: &str, word: &str) -> bool {
    text.split_whitespace().any(|said| said == word)
}

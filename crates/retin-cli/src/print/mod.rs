//! `retin print`: a job on paper.

mod form;
mod photos;
mod revision;
mod target;

use crate::Status;
use crate::terminal::{complain, harmless};
use crate::version::{self, Version};
use clap::ValueEnum;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser as _};
use form::Form;
use retin::meaning::Case;
use retin::sheets::labels::CUTS;
use retin::sheets::page::PageSetting;
use retin::sheets::settings::{Paper, Sort, Wanted};
use retin::sheets::{CheckedJob, Document, Make, Refusal, SHEETS, Settings, Sheet, find};
use retin::shop::Spares;
use std::env;
use std::io;
use std::path::PathBuf;

/// Print a job on paper: sheets to tick, to read from, and to write on.
///
/// Everything on a sheet comes from the job, its log among it; nothing is typed
/// twice. Every page carries the job, the unit, the revision of the job's file in
/// git, and how much was not checked. A job with mistakes is printed all the same,
/// and its pages say so.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// What to print.
    #[arg(value_name = "KIND", value_parser = sheets())]
    sheet: &'static Sheet,
    /// A job, FILE or REVISION:PATH; `orders` and `labels` take several, `differences` two.
    #[arg(value_name = "JOB", required = true)]
    jobs: Vec<String>,
    /// The form; by the ending of --to where that has one.
    #[arg(long, value_enum, value_name = "FORM")]
    form: Option<Form>,
    /// Where to write it; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
    /// The paper.
    #[arg(long, value_enum, value_name = "PAPER", default_value_t = PaperName::A4)]
    paper: PaperName,
    /// Print big, to be read at arm's length.
    #[arg(long)]
    big: bool,
    /// Only these steps.
    #[arg(
        long,
        value_name = "NAME",
        value_delimiter = ',',
        help_heading = "Only some of it"
    )]
    step: Vec<String>,
    /// Only these boards: `psu`, `ch1..ch4`.
    #[arg(
        long,
        value_name = "NAME",
        value_delimiter = ',',
        help_heading = "Only some of it"
    )]
    board: Vec<String>,
    /// Only parts in these zones.
    #[arg(
        long,
        value_name = "NAME",
        value_delimiter = ',',
        help_heading = "Only some of it"
    )]
    zone: Vec<String>,
    /// Only parts of these kinds: `electrolytic`, `capacitor`.
    #[arg(
        long = "kind",
        value_name = "WORD",
        value_delimiter = ',',
        help_heading = "Only some of it"
    )]
    of_kind: Vec<String>,
    /// Only parts of these values or types, or out of these drawers: `10uF`, `TL072`, `E-10-50`.
    #[arg(
        long,
        value_name = "VALUE",
        value_delimiter = ',',
        help_heading = "Only some of it"
    )]
    value: Vec<String>,
    /// Sort the parts of each step of the tick sheet otherwise than it does by itself:
    /// what goes in bag by bag, everything else board by board.
    #[arg(long, value_enum, value_name = "KEY")]
    sort: Option<SortName>,
    /// How many parts to order beyond the need: `none`, a count, or a share such as
    /// `10%`. Without it as many as the shelf asks for, else a tenth and one at least.
    #[arg(long, value_name = "COUNT", value_parser = Spares::read, help_heading = "Orders")]
    spares: Option<Spares>,
    /// How the sheet of labels is cut, by the measure of one label in mm; without it the
    /// first of the paper.
    #[arg(long, value_name = "CUT", value_parser = cuts(), help_heading = "Labels")]
    labels: Option<String>,
    /// How many labels of the first sheet are used already.
    #[arg(
        long,
        value_name = "COUNT",
        default_value_t = 0,
        hide_default_value = true,
        help_heading = "Labels"
    )]
    used: usize,
    /// The folder that holds everything a job may use.
    #[arg(long, value_name = "FOLDER")]
    root: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  retin print ticks jobs/26-031.retin              26-031-ticks.pdf
  retin print ticks jobs/26-031.retin --step fill --sort board --big
  retin print ticks jobs/26-031.retin --board ch1..ch4 --kind electrolytic
  retin print ticks jobs/26-031.retin --form text  on the terminal
  retin print map jobs/26-031.retin --board psu --to psu.html
  retin print orders jobs/*.retin                  one order for all, and its table
  retin print labels jobs/26-031.retin --labels 48.5x25.4 --used 6
  retin print ticks HEAD~3:jobs/26-031.retin       as it was three commits ago
  retin print differences HEAD:jobs/26-031.retin jobs/26-031.retin

Exit status: 0 printed, 2 wrong use or a file that cannot be read or written.";

/// The kinds of sheet, as they are named on the command line.
fn sheets() -> impl clap::builder::TypedValueParser<Value = &'static Sheet> {
    let names = SHEETS
        .iter()
        .map(|sheet| PossibleValue::new(sheet.name).help(sheet.says));
    PossibleValuesParser::new(names)
        .try_map(|name| find(&name).ok_or_else(|| format!("there is no sheet {name}")))
}

/// The cuts of label sheets, as they are named on the command line.
fn cuts() -> PossibleValuesParser {
    let names = CUTS.iter().map(|cut| {
        let (columns, rows) = (cut.cut.columns, cut.cut.rows);
        let paper = cut.paper.name();
        PossibleValue::new(cut.name).help(format!("{columns} by {rows} on {paper}"))
    });
    PossibleValuesParser::new(names)
}

/// A size of paper, as it is named on the command line.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
enum PaperName {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// A way to sort, as it is named on the command line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct SortName(Sort);

impl ValueEnum for SortName {
    fn value_variants<'a>() -> &'a [Self] {
        const ALL: [SortName; Sort::ALL.len()] = {
            let mut all = [SortName(Sort::Value); Sort::ALL.len()];
            let mut index = 0;
            while index < all.len() {
                all[index] = SortName(Sort::ALL[index]);
                index += 1;
            }
            all
        };
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.0.name()).help(self.0.says()))
    }
}

/// Reads the jobs, makes the sheet and writes it.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    if let Some(reason) = misuse(arguments) {
        complain(&reason);
        return Ok(Status::Failed);
    }
    let here = env::current_dir()?.canonicalize()?;
    let mut versions = Vec::with_capacity(arguments.jobs.len());
    for name in &arguments.jobs {
        match version::read(name, &here, arguments.root.as_deref())? {
            Ok(version) => versions.push(version),
            Err(reason) => complain(&format!("{name} cannot be read: {reason}")),
        }
    }
    if versions.len() < arguments.jobs.len() {
        return Ok(Status::Failed);
    }
    let cases: Vec<Case<'_>> = versions
        .iter()
        .map(|version| Case::build(&version.sources, version.root))
        .collect();
    let Some(jobs) = checked(&versions, &cases) else {
        return Ok(Status::Failed);
    };
    let settings = settings(arguments);
    let table = match arguments.sheet.table.map(|table| table(&jobs, &settings)) {
        Some(Err(refusal)) => {
            complain(&refusal.reason);
            return Ok(Status::Failed);
        }
        table => table.and_then(Result::ok),
    };
    let document = match make(arguments.sheet, &jobs, &settings) {
        Ok(document) => document,
        Err(refusal) => {
            complain(&refusal.reason);
            return Ok(Status::Failed);
        }
    };
    let printed = target::Printed {
        document: &document,
        table: table.as_deref(),
        setting: PageSetting::from(&settings),
        photos: &|path| photos::read(&versions, path),
    };
    let status = target::write(arguments, &printed)?;
    Ok(if tell_unreadable(&versions) {
        Status::Failed
    } else {
        status
    })
}

/// Why the arguments do not go together.
fn misuse(arguments: &Arguments) -> Option<String> {
    let sheet = arguments.sheet;
    let count = arguments.jobs.len();
    match sheet.make {
        Make::One(_) if count > 1 => {
            return Some(format!("{} is printed of one job at a time", sheet.name));
        }
        Make::Two(_) if count != 2 => {
            return Some(format!(
                "{} is printed of two jobs, or of two revisions of one: `HEAD~1:JOB JOB`",
                sheet.name
            ));
        }
        _ => {}
    }
    if !sheet.narrows && !wanted(arguments).is_everything() {
        return Some(format!(
            "{} shows everything; --step, --board, --zone, --kind and --value are for other sheets",
            sheet.name
        ));
    }
    if let Some(ending) = Form::unknown_ending(arguments.form, arguments.to.as_deref()) {
        return Some(format!(
            "no form of paper ends in .{ending}: name the file .pdf, .html, .txt or .csv, or say which form with --form"
        ));
    }
    let is_asked = [
        ("--sort", arguments.sort.is_some() && !sheet.sorts),
        (
            "--spares",
            arguments.spares.is_some() && sheet.name != "orders",
        ),
        (
            "--labels",
            arguments.labels.is_some() && sheet.name != "labels",
        ),
        ("--used", arguments.used > 0 && sheet.name != "labels"),
        (
            "--form csv",
            Form::of(arguments.form, arguments.to.as_deref()) == Form::Csv && sheet.table.is_none(),
        ),
    ];
    let option = is_asked.iter().find(|(_, is_asked)| *is_asked);
    option.map(|(option, _)| format!("{option} is not for {}", sheet.name))
}

/// The jobs with their checks; what holds no job is told.
fn checked<'c, 'a>(versions: &[Version], cases: &'c [Case<'a>]) -> Option<Vec<CheckedJob<'c, 'a>>> {
    let mut jobs = Vec::with_capacity(cases.len());
    for (version, case) in versions.iter().zip(cases) {
        match CheckedJob::of(case, revision::of(version)) {
            Some(job) => jobs.push(job),
            None => complain(&format!(
                "{} holds no job, and paper is about a job",
                version.name
            )),
        }
    }
    (jobs.len() == cases.len()).then_some(jobs)
}

fn wanted(arguments: &Arguments) -> Wanted {
    Wanted {
        steps: arguments.step.clone(),
        boards: arguments.board.clone(),
        zones: arguments.zone.clone(),
        kinds: arguments.of_kind.clone(),
        values: arguments.value.clone(),
    }
}

fn settings(arguments: &Arguments) -> Settings {
    Settings {
        paper: match arguments.paper {
            PaperName::A4 => Paper::A4,
            PaperName::Letter => Paper::Letter,
        },
        is_big: arguments.big,
        wanted: wanted(arguments),
        sort: arguments.sort.map(|sort| sort.0),
        spares: arguments.spares,
        cut: arguments.labels.clone(),
        used: arguments.used,
    }
}

fn make(
    sheet: &Sheet,
    jobs: &[CheckedJob<'_, '_>],
    settings: &Settings,
) -> Result<Document, Refusal> {
    match (sheet.make, jobs) {
        (Make::One(make), [job]) => make(job, settings),
        (Make::Several(make), jobs) => make(jobs, settings),
        (Make::Two(make), [old, new]) => make([old, new], settings),
        (Make::One(_) | Make::Two(_), _) => Err(Refusal {
            reason: format!("{} is not printed of {} jobs", sheet.name, jobs.len()),
        }),
    }
}

/// Tells of files that jobs use and that cannot be read; whether there are any.
fn tell_unreadable(versions: &[Version]) -> bool {
    for version in versions {
        for (file, reason) in &version.unreadable {
            let name = version.name_of(file);
            complain(&format!("{} cannot be read: {reason}", harmless(&name)));
        }
    }
    versions
        .iter()
        .any(|version| !version.unreadable.is_empty())
}

//! Orders and labels from the command line.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;

const SHELF: &str = "\
shelf s \"Shelf\"
  electrolytic
    E-10 10uF 25V have 1 1 at 0.21 EUR, 50 at 0.10 EUR
";

fn job(number: &str, count: usize) -> String {
    format!(
        "use \"../shelf.retin\"\n\nmodel a \"Receiver\"\n\nboard b \"Board\"\n  electrolytic\n    C1..C{count} 10uF 25V\n\njob {number} \"Receiver {number}\"\n  model a\n\nplan\n  replace every electrolytic with E-10\n"
    )
}

fn bench() -> Bench {
    let bench = Bench::new();
    bench.write("shelf.retin", SHELF);
    bench.write("jobs/1.retin", job("26-1", 9));
    bench.write("jobs/2.retin", job("26-2", 21));
    bench
}

#[test]
fn one_list_serves_several_jobs() {
    let arguments = [
        "print",
        "orders",
        "jobs/1.retin",
        "jobs/2.retin",
        "--form",
        "text",
    ];
    let (out, _) = bench().run(&arguments, 0);
    insta::assert_snapshot!(out);
}

#[test]
fn spares_are_as_asked() {
    let bench = bench();
    let bought = |spares: &str| {
        let arguments = [
            "print",
            "orders",
            "jobs/1.retin",
            "--form",
            "csv",
            "--to",
            "-",
            "--spares",
            spares,
        ];
        let (out, _) = bench.run(&arguments, 0);
        let row = out.lines().nth(1).unwrap().to_owned();
        let buy = row.split(',').nth(8).unwrap();
        buy.to_owned()
    };
    assert_eq!(bought("none"), "8");
    assert_eq!(bought("3"), "11");
    assert_eq!(bought("50%"), "13");
}

#[test]
fn a_table_is_written_beside_where_one_is() {
    let bench = bench();
    let (out, _) = bench.run(
        &[
            "print",
            "orders",
            "jobs/1.retin",
            "jobs/2.retin",
            "--form",
            "csv",
        ],
        0,
    );
    assert_eq!(out, "26-1-26-2-orders.csv\n");
    let table = bench.read("26-1-26-2-orders.csv");
    assert!(table.starts_with("kind,part,"), "{table}");
    bench.run(&["print", "orders", "jobs/1.retin", "--to", "mine.CSV"], 0);
    assert!(bench.read("mine.CSV").contains("E-10"));
}

#[test]
fn what_does_not_go_together_is_told() {
    let bench = bench();
    let mut told = Vec::new();
    for arguments in [
        &["print", "orders", "jobs/1.retin", "--spares", "many"][..],
        &["print", "labels", "jobs/1.retin", "--spares", "2"],
        &["print", "orders", "jobs/1.retin", "--used", "2"],
        &["print", "labels", "jobs/1.retin", "--form", "csv"],
        &["print", "labels", "jobs/1.retin", "--labels", "66.7x25.4"],
        &["print", "labels", "jobs/1.retin", "--labels", "1x1"],
        &["print", "report", "jobs/1.retin", "--board", "b"],
        &["print", "report", "jobs/1.retin", "jobs/2.retin"],
    ] {
        let (_, complaint) = bench.run(arguments, 2);
        told.push(complaint);
    }
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn labels_and_the_report_are_printed() {
    let bench = bench();
    let letter = [
        "print",
        "labels",
        "jobs/1.retin",
        "jobs/2.retin",
        "--paper",
        "letter",
        "--labels",
        "66.7x25.4",
        "--form",
        "text",
    ];
    let (labels, _) = bench.run(&letter, 0);
    assert!(
        labels.contains("9 × E-10") && labels.contains("21 × E-10"),
        "{labels}"
    );
    let (report, _) = bench.run(&["print", "report", "jobs/1.retin", "--form", "text"], 0);
    assert!(report.contains("What this report is"), "{report}");
}

/// The table of cuts on the page is the table of cuts.
#[test]
fn every_cut_is_described() {
    let page = include_str!("../../../syntax/print.md");
    for row in retin::sheets::labels::CUTS {
        let (columns, rows) = (row.cut.columns, row.cut.rows);
        let line = format!(
            "| `{}` | {} | {columns} by {rows}",
            row.name,
            row.paper.name()
        );
        assert!(page.contains(&line), "{line}");
    }
}

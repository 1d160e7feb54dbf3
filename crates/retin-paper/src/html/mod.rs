//! A document as one HTML file: no script, nothing fetched, prints as the PDF does.

use crate::columns::{lies_on_its_side, widths};
use crate::measure::clean;
use crate::{PageSetting, Sizes, fonts, head, labels, photo, svg};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use retin::sheets::document::{Block, Cell, Column, Document, Labels, NamedBox, Row, Table, Words};
use retin::sheets::drawing::Drawing;
use std::fmt::Write as _;

/// Sets a document as one HTML file. `photos` gives the bytes of a photograph by
/// its path; one that it does not have is told in its place.
///
/// The same document gives the same text. Drawings come out at true scale when
/// it is printed at 100 %.
pub fn html(
    document: &Document,
    setting: PageSetting,
    photos: &dyn Fn(&str) -> Option<Vec<u8>>,
) -> String {
    let is_landscape = lies_on_its_side(document, setting);
    let page = if is_landscape { "side" } else { "upright" };
    let body = parts(&document.blocks);
    let room = setting.room(is_landscape).width;
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (clean(&head::title(&document.head))) }
                style { (PreEscaped(style(document, setting))) }
            }
            body class=(page) {
                (page_head(document))
                main {
                    @for part in body {
                        @match part {
                            Part::Block(block) => (set(block, (setting, room), photos)),
                            Part::Pages(labels) => (sheets(labels, setting)),
                        }
                    }
                }
                (page_foot(document))
            }
        }
    }
    .into_string()
}

/// What is set one after the other.
enum Part<'a> {
    Block(&'a Block),
    Pages(&'a Labels),
}

fn parts(blocks: &[Block]) -> Vec<Part<'_>> {
    blocks
        .iter()
        .map(|block| match block {
            Block::Labels(labels) => Part::Pages(labels),
            block => Part::Block(block),
        })
        .collect()
}

/// The sheet of styles, with the fonts in it.
fn style(document: &Document, setting: PageSetting) -> String {
    let sizes = Sizes::of(setting);
    let mut style = String::with_capacity(2_200_000);
    for (file, weight) in [(fonts::REGULAR, 400), (fonts::BOLD, 700)] {
        let _ = writeln!(
            style,
            "@font-face{{font-family:\"{}\";font-weight:{weight};src:url(data:font/ttf;base64,{})}}",
            fonts::FAMILY,
            STANDARD.encode(file)
        );
    }
    for (name, is_landscape) in [("upright", false), ("side", true)] {
        let page = setting.page(is_landscape);
        let _ = writeln!(
            style,
            "@page {name}{{size:{}mm {}mm;margin:12mm {}mm 16mm {}mm;\
             @bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);white-space:nowrap;font:{}pt \"{}\"}}\
             @bottom-left{{content:{};font:{}pt \"{}\"}}}}",
            page.width,
            page.height,
            PageSetting::RIGHT,
            PageSetting::LEFT,
            sizes.head,
            fonts::FAMILY,
            quoted(&running(document)),
            sizes.head,
            fonts::FAMILY,
        );
    }
    let page = setting.page(false);
    let _ = write!(
        style,
        "@page labels{{size:{}mm {}mm;margin:0}}\n:root{{--text:{}pt;--head:{}pt;--box:{}mm;\
         --row:{}mm;--write:{}mm}}\n",
        page.width, page.height, sizes.text, sizes.head, sizes.tick_box, sizes.row, sizes.write,
    );
    style.push_str(include_str!("sheet.css"));
    style
}

/// What every printed page carries at its foot beside its number.
fn running(document: &Document) -> String {
    let head = &document.head;
    let serial = head
        .serial
        .as_ref()
        .map(|serial| format!("serial {serial}"));
    let revision = head
        .model_revision
        .as_ref()
        .map(|revision| format!("model revision {revision}"));
    let parts = [
        Some(head::title(head)),
        serial,
        revision,
        Some(head.file_revision.clone()),
        Some(head::not_checked(head)),
        head::errors(head),
    ];
    let parts: Vec<String> = parts
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .collect();
    clean(&parts.join(" · "))
}

/// A text as a string of a style sheet, that ends neither the string nor the
/// element around it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in text.chars() {
        if matches!(sign, '"' | '\\' | '<' | '>' | '&' | '\'') || sign.is_control() {
            let _ = write!(quoted, "\\{:06x}", u32::from(sign));
        } else {
            quoted.push(sign);
        }
    }
    quoted.push('"');
    quoted
}

fn page_head(document: &Document) -> Markup {
    html! {
        header {
            h1 { (clean(&head::title(&document.head))) }
            @for line in head::lines(&document.head) { p { (clean(&line)) } }
        }
    }
}

fn page_foot(document: &Document) -> Markup {
    html! {
        footer {
            p {
                strong { (head::not_checked(&document.head)) }
                @if let Some(errors) = head::errors(&document.head) {
                    " " strong class="errors" { (errors) }
                }
            }
            p { (clean(&document.head.file_revision)) }
        }
    }
}

fn set(
    block: &Block,
    (setting, room): (PageSetting, f64),
    photos: &dyn Fn(&str) -> Option<Vec<u8>>,
) -> Markup {
    match block {
        // The document's title is the only heading of the first level.
        Block::Heading { level, text } => {
            let text = clean(text);
            match level {
                0 | 1 => html! { h2 { (text) } },
                2 => html! { h3 { (text) } },
                _ => html! { h4 { (text) } },
            }
        }
        Block::Paragraph(it) => html! { p { (words(it)) } },
        Block::Caution(it) => html! {
            div class="caution" role="note" {
                (PreEscaped(SIGN))
                p { strong { "Caution" } br; (words(it)) }
            }
        },
        Block::List(items) => html! { ul { @for item in items { li { (words(item)) } } } },
        Block::Facts(facts) => html! {
            dl { @for (name, it) in facts { div { dt { (clean(name)) } dd { (words(it)) } } } }
        },
        Block::Table(it) => table(it, Sizes::of(setting), room),
        Block::Drawing { drawing, caption } => figure(drawing, caption.as_ref()),
        Block::Photo { path, caption } => photograph(path, caption, photos),
        Block::WriteIn { heads, lines } => html! {
            div class="wide" {
                table class="write-in" {
                    thead { tr { @for head in heads { th scope="col" { (clean(head)) } } } }
                    tbody { @for _ in 0..*lines { tr { @for _ in heads { td {} } } } }
                }
            }
        },
        Block::Labels(it) => sheets(it, setting),
        Block::NewPage => html! { div class="new-page" {} },
    }
}

fn words(words: &Words) -> Markup {
    html! {
        @for run in &words.runs {
            @if run.is_strong { strong { (clean(&run.text)) } } @else { (clean(&run.text)) }
        }
    }
}

/// A table. Its columns are as wide as on the page; where a screen is narrower,
/// the browser keeps words whole as long as it can.
fn table(table: &Table, sizes: Sizes, room: f64) -> Markup {
    let widths = widths(table, sizes, room);
    let has_heads = table.columns.iter().any(|column| !column.head.is_empty());
    let columns = table.columns.len();
    html! {
        div class="wide" {
            table {
                colgroup { @for width in &widths { col style=(format!("width:{}%", svg::number(width / room * 100.0))); } }
                @if has_heads {
                    thead { tr { @for column in &table.columns {
                        // A column of boxes has no words above it.
                        @if column.head.is_empty() { td {} } @else {
                            th scope="col" class=[side(column)] { (clean(&column.head)) }
                        }
                    } } }
                }
                @for group in &table.groups {
                    tbody {
                        @if let Some(heading) = &group.heading {
                            tr class="heading" {
                                th scope="rowgroup" colspan=(columns) { (words(heading)) }
                            }
                        }
                        @for line in &group.rows { (row(table, line)) }
                        @if let Some(foot) = &group.foot {
                            tr class="foot" { td colspan=(columns) { (words(foot)) } }
                        }
                    }
                }
            }
        }
    }
}

fn row(table: &Table, row: &Row) -> Markup {
    html! {
        tr class=[row_class(row)] {
            @for (index, column) in table.columns.iter().enumerate() {
                td class=[side(column)] { (cell(row.cells.get(index))) }
            }
        }
        @if !row.below.is_empty() {
            tr class=(if row.is_done { "below done" } else { "below" }) {
                td colspan=(table.columns.len()) { (boxes(&row.below)) }
            }
        }
    }
}

fn cell(cell: Option<&Cell>) -> Markup {
    match cell {
        Some(Cell::Words(it)) => words(it),
        Some(Cell::Lines(lines)) => html! {
            @for (index, line) in lines.iter().enumerate() { @if index > 0 { br; } (words(line)) }
        },
        Some(Cell::Box { is_ticked }) => tick_box(*is_ticked),
        Some(Cell::Boxes(named)) => boxes(named),
        Some(Cell::Blank) | None => html! {},
    }
}

fn boxes(boxes: &[NamedBox]) -> Markup {
    html! {
        div class="boxes" {
            @for named in boxes {
                span class=[named.is_ticked.then_some("done")] {
                    (tick_box(named.is_ticked)) " " (clean(&named.name))
                }
            }
        }
    }
}

fn row_class(row: &Row) -> Option<&'static str> {
    match (row.is_done, row.below.is_empty()) {
        (true, true) => Some("done"),
        (true, false) => Some("done above"),
        (false, true) => None,
        (false, false) => Some("above"),
    }
}

/// A box to tick, drawn: a sign of a font is too small for a gloved hand.
fn tick_box(is_ticked: bool) -> Markup {
    html! {
        svg class="box" viewBox="0 0 10 10" role="img"
            aria-label=(if is_ticked { "ticked" } else { "to tick" }) {
            rect x="0.6" y="0.6" width="8.8" height="8.8" fill="none" stroke="currentColor" stroke-width="0.9" {}
            @if is_ticked {
                path d="M2 5.2L4.2 7.6L8.2 2.2" fill="none" stroke="currentColor" stroke-width="1.2"
                    stroke-linecap="round" stroke-linejoin="round" {}
            }
        }
    }
}

/// A triangle with an exclamation mark.
const SIGN: &str = r##"<svg class="sign" viewBox="0 0 22 20" role="img" aria-label="caution"><path d="M11 1.2L21 18.6H1Z" fill="none" stroke="#000" stroke-width="1.4" stroke-linejoin="round"/><path d="M11 7V13" stroke="#000" stroke-width="1.8" stroke-linecap="round"/><circle cx="11" cy="15.7" r="1.1"/></svg>"##;

fn figure(drawing: &Drawing, caption: Option<&Words>) -> Markup {
    let (width, height) = (svg::number(drawing.width), svg::number(drawing.height));
    html! {
        figure {
            div class="wide" {
                svg role="img" aria-label=(clean(&drawing.says))
                    width={ (width) "mm" } height={ (height) "mm" }
                    viewBox={ "0 0 " (width) " " (height) } {
                    @for layer in svg::layers(drawing) {
                        @match layer {
                            svg::Layer::Shapes(shapes) => (svg::paths(shapes)),
                            svg::Layer::Texts(shapes) => (svg::texts(shapes)),
                        }
                    }
                }
            }
            @if let Some(caption) = caption { figcaption { (words(caption)) } }
        }
    }
}

fn photograph(path: &str, caption: &Words, photos: &dyn Fn(&str) -> Option<Vec<u8>>) -> Markup {
    match photos(path).and_then(photo::read) {
        Some(photo) => {
            let source = format!(
                "data:image/{};base64,{}",
                photo.format,
                STANDARD.encode(&photo.bytes)
            );
            let width = format!("width:{}mm", svg::number(photo.natural_width));
            html! {
                figure {
                    img src=(source) alt=(clean(&caption.text())) style=(width);
                    figcaption { (words(caption)) }
                }
            }
        }
        None => html! {
            figure class="missing" {
                p { strong { (clean(&photo::missing(path))) } }
                figcaption { (words(caption)) }
            }
        },
    }
}

/// Sheets of labels, each a page of its own.
fn sheets(labels: &Labels, setting: PageSetting) -> Markup {
    let page = setting.page(false);
    let extent = format!(
        "width:{}mm;height:{}mm",
        svg::number(page.width),
        svg::number(page.height)
    );
    html! {
        @for page_of in labels::pages(labels, setting) {
            div class="wide sheet" {
                div class="labels" style=(extent) {
                    @for label in page_of {
                        @for line in label.lines {
                            p class=[line.is_strong.then_some("strong")] style=(format!(
                                "left:{}mm;top:{}mm;font-size:{}mm",
                                svg::number(label.x + line.x),
                                svg::number(label.y + line.y),
                                svg::number(line.size)
                            )) { (clean(&line.text)) }
                        }
                    }
                }
            }
        }
    }
}

fn side(column: &Column) -> Option<&'static str> {
    column.is_right.then_some("right")
}

/**
 * Retin for tree-sitter: what `syntax/grammar.ebnf` says, as a parser that
 * editors run.
 *
 * The words come from `syntax/words.json`, which is made from the tables of the
 * program. Lines and blocks come from `src/scanner.c`. What is left to the
 * program is told in `syntax/README.md`.
 *
 * A word is read by its place. Where a name stands, every word is a name but
 * those of the reserved set of that place; elsewhere no reserved word is one.
 */

/* global grammar, choice, field, optional, repeat, repeat1, reserved, seq, token, prec, alias */

const words = require("../words.json");

/** A character that a word may hold, but for some. */
function but(others) {
  return `[^\\s,()"\\u0000-\\u001f\\u007f${others}]`;
}

/** Any character that a word may hold. */
const CHARACTER = but("");

/** Words that join two slots of a line; as names they are written in quotes. */
const CONNECTIVES = ["on", "except", "from", "with", "and", "to", "after", "because"];

/** Verbs of the log whose entries have slots of their own. */
const OTHER_VERBS = ["damaged", "repaired", "ordered", "arrived", "corrected"];

/** Several with commas between them. */
function commas(rule) {
  return seq(rule, repeat(seq(",", rule)));
}

/** One of several; of one, that one. */
function oneOf(list) {
  return list.length === 1 ? list[0] : choice(...list);
}

/** A line, and what may stand below it. */
function line($, content, ...below) {
  return seq(
    content,
    $._newline,
    repeat(seq($._indent, repeat1(choice(...below, $.prose)), $._dedent)),
  );
}

/** The places that have facts. */
const PLACES = Object.keys(words.properties).filter((place) => place !== "link");

/** Places where a line may begin with a property's name. */
const SETTINGS = ["model", "board", "job", "shelf", "packages", "devices"];

/** What follows the words that take it. */
function taken($, takes, place) {
  // A word that is no value is told by the program, not by the grammar.
  const valueOrWord = choice($.value, alias($._word, $.bare_word));
  const value = place === "targets" ? choice(seq(optional($.limit), $.value), $._no_word) : valueOrWord;
  switch (takes) {
    case "nothing":
      return [];
    case "value":
      return [field("value", value)];
    case "word":
      return [field("value", $._name)];
    case "text":
      return [field("value", $.text)];
    case "point":
      return [field("value", $.point)];
    case "size":
      return [field("value", $.size)];
    case "with names":
      return ["with", field("value", $._names)];
    case "names":
      return [field("value", $._names)];
    default:
      throw new Error(`no rule is written for a property that takes ${takes}`);
  }
}

/**
 * The rules for the facts of every place: `_part_named` for a property that is
 * written with its name, `_part_fact` for any fact, `_part_facts` for several.
 */
function factRules() {
  const rules = {};
  for (const place of PLACES) {
    const named = [];
    const add = (name, list, value) => {
      rules[name] = () => oneOf(list);
      named.push(($) => seq(field("property", alias($[name], $.property_name)), ...value($)));
    };
    const rows = Object.entries(words.properties[place]);
    const kinds = new Set(rows.map(([, takes]) => takes).filter((takes) => typeof takes === "string"));
    for (const takes of kinds) {
      const list = rows.filter((row) => row[1] === takes).map(([word]) => word);
      add(`_${place}_${takes.replace(" ", "_")}_name`, list, ($) => taken($, takes, place));
    }
    for (const [word, takes] of rows.filter((row) => row[1].choice)) {
      const known = `_${place}_${word}_choice`;
      rules[known] = () => oneOf(takes.choice);
      add(`_${place}_${word}_name`, [word], ($) => [field("value", choice(alias($[known], $.choice), $._name))]);
    }
    rules[`_${place}_named`] = ($) => prec.right(oneOf(named.map((rule) => rule($))));

    // An entry of the log has slots of its own.
    if (place === "log") continue;
    const more = ($) =>
      place === "plan" ? [$.mounting] : place === "shelf" ? [$.price] : [];
    rules[`_${place}_fact`] = ($) =>
      choice(alias($[`_${place}_named`], $.fact), ...more($), $.orientation, $._bare, $.kind);
    rules[`_${place}_facts`] = ($) => prec.right(repeat1(seq($[`_${place}_fact`], optional(","))));
    if (SETTINGS.includes(place)) {
      rules[`${place}_setting`] = ($) =>
        line($, seq(alias($[`_${place}_named`], $.fact), optional(","), optional($[`_${place}_facts`])));
    }
  }
  return rules;
}

/**
 * A part line: names, facts and leads. On a board, outside a group, one of the
 * facts has to be the part's kind.
 */
function described($, place) {
  const facts = optional($[`_${place}_facts`]);
  return choice(facts, seq(facts, $.pins, facts));
}

function describedWithKind($, place) {
  const facts = optional($[`_${place}_facts`]);
  const before = repeat(seq(choice(alias($[`_${place}_named`], $.fact), $.orientation, $._bare), optional(",")));
  const kind = seq($.kind, optional(","));
  return choice(
    seq(before, kind, facts, optional(seq($.pins, facts))),
    seq(before, $.pins, before, kind, facts),
  );
}

module.exports = grammar({
  name: "retin",

  externals: ($) => [
    $._newline,
    $._indent,
    $._dedent,
    $._blank,
    $.comment,
    $.prose_text,
    $._lead_ahead,
    $._never,
    $._error_sentinel,
  ],

  extras: ($) => [/[ \t]/, $.comment, $._blank],

  word: ($) => $._word,

  reserved: {
    // Where a word states a fact, no reserved word is one.
    global: ($) => words.reserved,
    // The first word of a line below a group is a name, if no property's.
    part: ($) => Object.keys(words.properties.part),
    shelf: ($) => Object.keys(words.properties.shelf),
    devices: ($) => Object.keys(words.properties.devices),
    log: ($) => [...CONNECTIVES, "as", "every", "everything", ...words.conditions, ...Object.keys(words.properties.log)],
    step: ($) => [...CONNECTIVES, ...words.conditions, "every", "everything"],
    selector: ($) => [...CONNECTIVES, "every", "everything"],
    // Everywhere else a name may be any word.
    none: ($) => [],
  },

  rules: {
    source_file: ($) =>
      seq(
        repeat(seq($._indent, repeat1($.prose), $._dedent)),
        repeat(choice($.use, $._section, $.prose)),
      ),

    _section: ($) =>
      choice(
        $.model,
        $.board,
        $.wiring,
        $.link,
        $.shelf,
        $.packages,
        $.devices,
        $.minutes,
        $.job,
        $.found,
        $.plan,
        $.steps,
        $.targets,
        $.log,
      ),

    prose: ($) => line($, $.prose_text),

    use: ($) => line($, seq("use", field("path", $.text))),

    // ---- The model sheet ----

    model: ($) =>
      line($, seq("model", field("name", $._name), field("title", optional($.text))), $.changed, $.model_setting),
    changed: ($) => line($, seq("changed", $.value, $._names, $.text)),

    board: ($) =>
      line(
        $,
        seq(
          "board",
          field("name", $._name),
          field("title", optional($.text)),
          optional(choice(seq("as", field("copies", $._names)), $._no_word)),
        ),
        $.rail,
        $.net,
        $.zone,
        $.board_setting,
        $.group,
        alias($.lone_part, $.part),
      ),
    wiring: ($) =>
      line(
        $,
        seq(
          "wiring",
          field("name", $._name),
          field("title", optional($.text)),
          optional(choice(seq("as", field("copies", $._names)), $._no_word)),
        ),
        $.rail,
        $.net,
        $.zone,
        $.board_setting,
        $.group,
        alias($.lone_part, $.part),
      ),
    rail: ($) => line($, seq("rail", field("name", $._name), optional($._board_facts))),
    net: ($) => line($, seq("net", field("name", $._name), field("title", optional($.text)))),
    zone: ($) => line($, seq("zone", field("name", $._name), $.point, choice(seq("to", $.point), $._no_word))),

    group: ($) => line($, seq(field("kind", $.kind), optional(","), optional($._part_facts)), $.part),
    part: ($) =>
      line(
        $,
        seq($._part_names, described($, "part")),
        $.claim,
        $.go_by,
        $.part_section,
        $.exception,
      ),
    lone_part: ($) =>
      line(
        $,
        seq(field("name", $._names), describedWithKind($, "part")),
        $.claim,
        $.go_by,
        $.part_section,
        $.exception,
      ),
    _part_names: ($) =>
      seq(
        field("name", choice(reserved("part", alias($._word, $.name)), $._number_name, $.text)),
        optional(seq(",", field("name", $._names))),
      ),

    claim: ($) => line($, $._claim),
    _claim: ($) =>
      choice(
        // A lead that sounds to a net.
        seq(
          field("source", alias("beep", $.source)),
          optional(seq(field("lead", $._any_lead), field("net", optional($._name)))),
        ),
        seq(
          field("source", alias($._stating_source, $.source)),
          choice(
            described($, "part"),
            seq(field("from", $._reading_lead), "to", field("to", $._any_lead), $.value),
          ),
        ),
      ),
    go_by: ($) => line($, $._going_by),
    _going_by: ($) => seq("go", "by", field("source", $.source)),
    part_section: ($) => line($, seq("section", field("name", $._name), described($, "part"))),
    exception: ($) => line($, seq("on", field("copies", $._names), optional($._part_facts))),

    link: ($) =>
      line(
        $,
        seq(
          "link",
          field("name", $._name),
          field("title", optional($.text)),
          optional(seq(field("joints", $.value), choice("joints", $._no_word))),
        ),
        $.join,
      ),
    join: ($) => line($, seq($._names, choice(seq("to", $._names), $._no_word))),

    // ---- Packages, devices, shelves ----

    packages: ($) => line($, seq("packages", field("name", $._name), field("title", optional($.text))), $.package),
    package: ($) => line($, seq(field("name", $._names), described($, "packages")), $.packages_setting),

    devices: ($) =>
      line(
        $,
        seq("devices", field("name", $._name), field("title", optional($.text))),
        alias($.device_group, $.group),
        $.devices_setting,
        $.device,
      ),
    device_group: ($) => line($, seq(field("kind", $.kind), optional(","), optional($._devices_facts)), $.device),
    device: ($) =>
      line(
        $,
        seq(
          field("name", choice(reserved("devices", alias($._word, $.name)), $._number_name, $.text)),
          optional(seq(",", field("name", $._names))),
          described($, "devices"),
        ),
        $.devices_setting,
      ),

    shelf: ($) =>
      line(
        $,
        seq("shelf", field("name", $._name), field("title", optional($.text))),
        alias($.shelf_group, $.group),
        $.shelf_setting,
        $.entry,
      ),
    shelf_group: ($) => line($, seq(field("kind", $.kind), optional(","), optional($._shelf_facts)), $.entry),
    entry: ($) =>
      line(
        $,
        seq(
          field("name", choice(reserved("shelf", alias($._word, $.name)), $._number_name, $.text)),
          optional(seq(",", field("name", $._names))),
          described($, "shelf"),
        ),
        $.shelf_setting,
      ),

    minutes: ($) => line($, "minutes", $.pace),
    pace: ($) =>
      line(
        $,
        seq(
          field("verb", alias($.step_verb, $.verb)),
          commas($._paced),
          $.value,
          optional(seq("per", choice("lead", "joint", $._no_word))),
        ),
      ),
    _paced: ($) =>
      choice($.kind, $.family, alias("socketed", $.choice), "board", "rail", "link", $._no_word),

    // ---- The job ----

    job: ($) => line($, seq("job", field("name", $._name), field("title", optional($.text))), $.job_setting),

    found: ($) => line($, "found", $.survey),
    survey: ($) => line($, seq(field("name", $._names), choice($._going_by, $._claim, described($, "part")))),

    plan: ($) => line($, "plan", $.plan_line, $.accept),
    plan_line: ($) =>
      line(
        $,
        seq(
          field("verb", alias($.plan_verb, $.verb)),
          $.selector,
          optional($._from),
          choice(
            optional($._line_facts),
            $.new_parts,
            seq(optional($.new_parts), $.pins, optional($._line_facts)),
          ),
        ),
      ),
    _line_facts: ($) => seq($._line_fact, repeat(seq(optional(","), $._line_fact))),
    _line_fact: ($) => choice($.orientation, $.mounting, $.because),
    // What is said of the line stands behind the last part, and is read with it.
    new_parts: ($) => prec.right(seq("with", $._plan_facts, repeat(seq("and", $._plan_facts)))),
    accept: ($) =>
      line(
        $,
        seq("accept", field("rule", $._name), "on", $.selector, optional(choice($.because, $._no_word))),
        $.for,
      ),
    for: ($) => line($, seq("for", repeat1(choice($._name, ",", "in", "place", "of")))),
    because: ($) => seq("because", $.text),

    selector: ($) =>
      prec.right(
        seq(
          choice("everything", $.every, commas($._selected)),
          optional($._on),
          optional($._except),
        ),
      ),
    _selected: ($) => choice(reserved("selector", alias($._word, $.name)), $._number_name, $.text),
    every: ($) =>
      prec.right(
        seq(
          "every",
          repeat($.value),
          commas($._chosen_kind),
          repeat($.value),
        ),
      ),

    _chosen_kind: ($) => choice($.kind, $.family, "board", "rail", "link", $._no_word),

    // ---- Steps, targets, log ----

    steps: ($) => line($, "steps", $.step),
    step: ($) =>
      line(
        $,
        seq(
          field("name", $._name),
          field("verb", alias($.step_verb, $.verb)),
          choice(
            seq(
              alias($._step_selector, $.selector),
              optional($._with),
              optional($._after),
              optional($._steps_facts),
            ),
            seq($._with, optional($._after), optional($._steps_facts)),
            seq($._after, optional($._steps_facts)),
            // Without anything before it, a word is what the step is about.
            optional(
              seq(
                choice(alias($._steps_named, $.fact), $.value, alias($._condition, $.choice)),
                optional(","),
                optional($._steps_facts),
              ),
            ),
          ),
        ),
        $.caution,
      ),
    _step_selector: ($) =>
      prec.right(
        seq(
          choice(
            "everything",
            $.every,
            seq(choice(reserved("step", alias($._word, $.name)), $.text), repeat(seq(",", $._selected))),
          ),
          optional($._on),
          optional($._except),
        ),
      ),
    caution: ($) => line($, seq("caution", $.text)),

    targets: ($) => line($, "targets", $.target),
    target: ($) =>
      line(
        $,
        seq(field("point", $._name), optional(seq("to", field("against", $._name))), optional($._targets_facts)),
      ),

    log: ($) => line($, "log", $.day),
    day: ($) => line($, choice(field("date", $.value), seq("next", "day"), $._no_word), $.log_entry),
    log_entry: ($) =>
      line(
        $,
        seq(
          field("time", optional($.value)),
          field("by", optional(alias($._word, $.name))),
          choice($._done, $._corrected),
        ),
      ),
    // The verb decides which slots there are.
    _done: ($) => choice($._worked, $._told, $._counted),

    _worked: ($) =>
      seq(
        field("verb", alias($._worked_verb, $.verb)),
        optional(
          choice(
            seq($._chosen, optional(seq(choice($._log_names, $._first_slot), repeat($._slot)))),
            seq($._first_slot, repeat($._slot)),
          ),
        ),
      ),
    // An accident or a repair is told in words.
    _told: ($) =>
      seq(
        field("verb", alias($._telling_verb, $.verb)),
        optional(
          choice(
            seq($._chosen, repeat(choice($._phrase, $._first_slot))),
            seq($._first_slot, repeat(choice($._phrase, $._first_slot))),
          ),
        ),
      ),
    _phrase: ($) => seq(field("told", reserved("log", alias($._word, $.told))), optional(",")),
    _counted: ($) =>
      seq(
        field("verb", alias($._counting_verb, $.verb)),
        optional(
          choice(
            seq(commas($.item), repeat($._slot)),
            seq($._first_slot, repeat($._slot)),
          ),
        ),
      ),
    item: ($) => prec(1, seq(field("count", optional($.value)), field("name", reserved("log", alias($._word, $.name))))),
    _corrected: ($) =>
      seq(
        field("verb", alias("corrected", $.verb)),
        optional($.entry_time),
        choice($._done, repeat($._slot)),
      ),
    // Which entry it mends.
    entry_time: ($) => prec.right(2, seq($.value, optional($.value))),

    _chosen: ($) => alias($.log_selector, $.selector),
    log_selector: ($) => choice("everything", alias($._every_kind, $.every), $._log_names),
    _every_kind: ($) => seq("every", repeat($.value), commas($._chosen_kind)),
    _log_names: ($) => commas(reserved("log", alias($._word, $.name))),

    // A slot that no name could be read as.
    _first_slot: ($) =>
      choice(
        $._on,
        $._except,
        seq("to", commas(choice($.value, reserved("none", alias($._word, $.name)), $.text))),
        seq("with", $._described_part, repeat(seq("and", $._described_part))),
        seq("as", $._described_part),
        seq(
          choice(
            alias($._log_named, $.fact),
            $.orientation,
            $.value,
            $.text,
            alias($._condition, $.choice),
          ),
          optional(","),
        ),
      ),
    _slot: ($) =>
      choice(
        $._first_slot,
        seq(choice(alias($._word, $.bare_word), alias($._other_choice, $.choice), $.kind), optional(",")),
      ),
    _described_part: ($) => prec.right($._plan_facts),

    // ---- Pieces that lines share ----

    ...factRules(),

    pins: ($) => seq("(", commas($.pin), optional(","), ")"),
    pin: ($) => seq(field("lead", $._any_lead), field("net", $._name)),

    // Never read. Where a keyword may stand and no other word, it makes the lexer
    // take the whole word, so that `resistors` is not read as `resistor`.
    _no_word: ($) => seq($._word, $._never),

    _on: ($) => seq("on", $._names),
    _except: ($) => seq("except", $._names),
    _from: ($) => seq("from", $._names),
    _with: ($) => seq("with", $._names),
    _after: ($) => seq("after", $._names),

    // A word, a number or text, where every word is a name.
    _name: ($) => choice(reserved("none", alias($._word, $.name)), $._number_name, $.text),
    _names: ($) => prec.right(commas($._name)),
    _number_name: ($) => alias(choice($._number, $._plain_number, "?"), $.name),

    _any_lead: ($) =>
      choice(reserved("none", alias($._word, $.lead)), alias(choice($._number, $._plain_number, "?"), $.lead), $.text),

    // A lead that no other fact could be.
    _lead: ($) => choice($._word, $._number, $._plain_number, "in", "?"),
    _reading_lead: ($) =>
      choice(
        alias(choice($._word, $._number, $._plain_number, "in", "?"), $.lead),
        $.text,
        $.direction,
      ),
    orientation: ($) =>
      seq(
        field("lead", choice(alias($._lead, $.lead), $.text)),
        field("direction", $.direction),
      ),
    mounting: ($) => seq("in", choice("series", "parallel")),
    price: ($) => seq(field("quantity", $.value), "at", field("each", $.value)),
    limit: ($) => choice("above", "below"),

    _bare: ($) => choice($.value, alias($._word, $.bare_word), $.text, $.choice),

    // ---- Words, from the tables ----

    kind: ($) => oneOf(words.kinds),
    family: ($) => oneOf(words.families),
    choice: ($) => oneOf(words.choices),
    _condition: ($) => oneOf(words.conditions),
    _other_choice: ($) => oneOf(words.choices.filter((word) => !words.conditions.includes(word))),
    direction: ($) => oneOf(words.directions),
    source: ($) => oneOf(words.sources),
    _stating_source: ($) => oneOf(words.sources.filter((source) => source !== "beep")),
    plan_verb: ($) => oneOf(words.planVerbs),
    step_verb: ($) => oneOf(words.stepVerbs),
    _telling_verb: ($) => choice("damaged", "repaired"),
    _counting_verb: ($) => choice("ordered", "arrived"),
    _worked_verb: ($) => oneOf(words.logVerbs.filter((verb) => !OTHER_VERBS.includes(verb))),

    // ---- Values and tokens ----

    point: ($) => seq($.value, ",", $.value),
    size: ($) => prec.right(seq($.value, optional(seq("x", optional($.value))))),

    // `?` is a value that cannot be read. In `at 30,40 A east` the letter is a
    // lead, not a unit: the scanner sees the direction behind it.
    value: ($) => choice($._number, seq($._plain_number, optional(choice($.unit, $._lead_ahead))), $.unreadable),
    unreadable: ($) => "?",
    // A word is a unit behind a number only.
    unit: ($) => token(oneOf(words.units)),
    // A number that may have its unit after a blank; of two tokens that fit the
    // same characters, the one that stands first here is taken.
    _plain_number: ($) => token(/[+\-±]*\.?[0-9]([0-9.+\-\u2212±\/…xX×e]*[0-9.])?/),
    _number: ($) => token(new RegExp(`[+\\-±]*\\.?[0-9]${CHARACTER}*`)),
    text: ($) => token(/"[^"\n\r]*"/),
    // Whatever is no number, no comment, no prose and not `?`.
    _word: ($) =>
      token(
        choice(
          new RegExp(`${but("#|?0-9.+\\-±")}${CHARACTER}*`),
          new RegExp(`\\?${CHARACTER}+`),
          new RegExp(`[+\\-±]+(${but("0-9.+\\-±")}${CHARACTER}*)?`),
          new RegExp(`[+\\-±]*\\.(${but("0-9")}${CHARACTER}*)?`),
        ),
      ),
  },
});

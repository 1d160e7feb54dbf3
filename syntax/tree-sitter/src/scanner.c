/*
 * The outline of a Retin file for tree-sitter: where lines end, and which lines
 * belong to which.
 *
 * A line belongs to the nearest line above it that is indented less. So a block
 * opens where a line is indented more than the one it follows, and closes where
 * one is indented less; lines of one block need not be indented alike.
 *
 * Blank lines and lines that hold only a comment count for nothing. A comment
 * that is indented less than the open block stands behind its end.
 */

#include "tree_sitter/alloc.h"
#include "tree_sitter/parser.h"

#include <string.h>

/* In the order of `externals` in grammar.js. */
enum Token {
  NEWLINE,
  INDENT,
  DEDENT,
  BLANK,
  COMMENT,
  PROSE,
  /* Of no width: the next word lies in the direction behind it. */
  LEAD_AHEAD,
  /* Never given. */
  NEVER,
  /* Valid only while the parser mends an error. */
  ERROR_SENTINEL,
};

/* `limits::DEPTH` of the program: the deepest that a line may lie. */
enum { DEPTH = 8 };

typedef struct {
  /* Columns of the open blocks, the file itself not among them. */
  uint16_t block[DEPTH];
  /* Columns of the next line that is neither blank nor a comment. */
  uint16_t next_line;
  /* Columns of the next line that is not blank. */
  uint16_t next_text;
  uint8_t blocks;
  /* The last token was a comment alone on its line. */
  bool is_after_comment_line;
  /* No line has been seen yet. */
  bool is_at_file_start;
} Scanner;

void *tree_sitter_retin_external_scanner_create(void) {
  Scanner *scanner = ts_calloc(1, sizeof(Scanner));
  scanner->is_at_file_start = true;
  return scanner;
}

void tree_sitter_retin_external_scanner_destroy(void *payload) {
  ts_free(payload);
}

unsigned tree_sitter_retin_external_scanner_serialize(void *payload, char *buffer) {
  memcpy(buffer, payload, sizeof(Scanner));
  return sizeof(Scanner);
}

void tree_sitter_retin_external_scanner_deserialize(void *payload, const char *buffer,
                                                    unsigned length) {
  Scanner *scanner = payload;
  if (length == sizeof(Scanner)) {
    memcpy(scanner, buffer, sizeof(Scanner));
  } else {
    memset(scanner, 0, sizeof(Scanner));
    scanner->is_at_file_start = true;
  }
}

static bool is_newline(const TSLexer *lexer) {
  return lexer->lookahead == '\n' || lexer->lookahead == '\r';
}

static bool is_blank(const TSLexer *lexer) {
  return lexer->lookahead == ' ' || lexer->lookahead == '\t';
}

/* Takes one line end: LF, CR LF or CR. */
static void take_newline(TSLexer *lexer) {
  bool is_return = lexer->lookahead == '\r';
  lexer->advance(lexer, false);
  if (is_return && lexer->lookahead == '\n') {
    lexer->advance(lexer, false);
  }
}

/* Takes what is left of a line, but not its end. */
static void skip_line(TSLexer *lexer) {
  while (!lexer->eof(lexer) && !is_newline(lexer)) {
    lexer->advance(lexer, false);
  }
}

/* Takes blanks and tabs; a tab counts as two columns. */
static uint16_t take_blanks(TSLexer *lexer) {
  uint32_t columns = 0;
  while (is_blank(lexer)) {
    columns += lexer->lookahead == '\t' ? 2 : 1;
    lexer->advance(lexer, false);
  }
  return columns > UINT16_MAX ? UINT16_MAX : (uint16_t)columns;
}

/*
 * Looks from the start of a line for the next ones that count. The end of the
 * file is a line at the left margin.
 */
static void look_ahead(Scanner *scanner, TSLexer *lexer) {
  bool has_text = false;
  for (;;) {
    uint16_t columns = take_blanks(lexer);
    if (lexer->eof(lexer)) {
      columns = 0;
    } else if (is_newline(lexer)) {
      take_newline(lexer);
      continue;
    }
    if (!has_text) {
      scanner->next_text = columns;
      has_text = true;
    }
    if (lexer->lookahead != '#' || lexer->eof(lexer)) {
      scanner->next_line = columns;
      return;
    }
    skip_line(lexer);
  }
}

/* Columns of the innermost open block. */
static uint16_t open_block(const Scanner *scanner) {
  return scanner->blocks == 0 ? 0 : scanner->block[scanner->blocks - 1];
}

/*
 * A block that opens or closes before the line that begins here. A line that
 * lies too deep is taken as a whole, for a token that no rule allows.
 */
static bool scan_block(Scanner *scanner, TSLexer *lexer, const bool *valid) {
  if (scanner->next_line < open_block(scanner) && scanner->next_text < open_block(scanner) &&
      valid[DEDENT]) {
    scanner->blocks--;
    lexer->result_symbol = DEDENT;
    return true;
  }
  if (scanner->next_line > open_block(scanner) && valid[INDENT]) {
    if (scanner->blocks + 1 < DEPTH) {
      scanner->block[scanner->blocks++] = scanner->next_line;
      lexer->result_symbol = INDENT;
    } else {
      skip_line(lexer);
      lexer->mark_end(lexer);
      lexer->result_symbol = ERROR_SENTINEL;
    }
    return true;
  }
  return false;
}

/* From `#` to the end of the line. */
static bool scan_comment(Scanner *scanner, TSLexer *lexer, bool is_alone) {
  skip_line(lexer);
  lexer->mark_end(lexer);
  scanner->is_after_comment_line = is_alone;
  lexer->result_symbol = COMMENT;
  return true;
}

/* One line end, and what comes behind it is looked at. */
static bool scan_line_end(Scanner *scanner, TSLexer *lexer, enum Token token) {
  if (!lexer->eof(lexer)) {
    take_newline(lexer);
  }
  lexer->mark_end(lexer);
  look_ahead(scanner, lexer);
  scanner->is_after_comment_line = false;
  scanner->is_at_file_start = false;
  lexer->result_symbol = token;
  return true;
}

/* Whether a word goes on here. */
static bool is_in_word(const TSLexer *lexer) {
  return !lexer->eof(lexer) && !is_blank(lexer) && !is_newline(lexer) && lexer->lookahead != ',' &&
         lexer->lookahead != '(' && lexer->lookahead != ')' && lexer->lookahead != '"';
}

/* The longest direction is `north-east`. */
enum { LONGEST_DIRECTION = 10 };

static const char *const DIRECTIONS[] = {
    "north",      "south",      "east",       "west",
    "north-east", "north-west", "south-east", "south-west",
};

/* Looks past the word that begins here whether a direction stands there. */
static bool scan_lead(TSLexer *lexer) {
  lexer->mark_end(lexer);
  while (is_in_word(lexer)) {
    lexer->advance(lexer, false);
  }
  while (is_blank(lexer)) {
    lexer->advance(lexer, false);
  }
  char word[LONGEST_DIRECTION + 1];
  size_t length = 0;
  while (is_in_word(lexer)) {
    if (length == LONGEST_DIRECTION || lexer->lookahead > 'z') {
      return false;
    }
    word[length++] = (char)lexer->lookahead;
    lexer->advance(lexer, false);
  }
  word[length] = '\0';
  for (size_t index = 0; index < sizeof(DIRECTIONS) / sizeof(DIRECTIONS[0]); index++) {
    if (strcmp(word, DIRECTIONS[index]) == 0) {
      lexer->result_symbol = LEAD_AHEAD;
      return true;
    }
  }
  return false;
}

bool tree_sitter_retin_external_scanner_scan(void *payload, TSLexer *lexer, const bool *valid) {
  Scanner *scanner = payload;
  bool is_line_start = lexer->get_column(lexer) == 0;
  lexer->mark_end(lexer);

  if (is_line_start && !scanner->is_at_file_start && scan_block(scanner, lexer, valid)) {
    return true;
  }

  uint16_t columns = 0;
  while (is_blank(lexer)) {
    columns += lexer->lookahead == '\t' ? 2 : 1;
    lexer->advance(lexer, true);
  }
  if (lexer->eof(lexer)) {
    if (!is_line_start && valid[NEWLINE] && !valid[ERROR_SENTINEL]) {
      return scan_line_end(scanner, lexer, NEWLINE);
    }
    scanner->next_line = 0;
    scanner->next_text = 0;
    return scan_block(scanner, lexer, valid);
  }
  if (lexer->lookahead == '#') {
    return scan_comment(scanner, lexer, is_line_start);
  }
  if (lexer->lookahead == '|' && is_line_start && valid[PROSE]) {
    skip_line(lexer);
    lexer->mark_end(lexer);
    lexer->result_symbol = PROSE;
    return true;
  }
  if (is_newline(lexer)) {
    if (is_line_start || scanner->is_after_comment_line) {
      return scan_line_end(scanner, lexer, BLANK);
    }
    return valid[NEWLINE] && scan_line_end(scanner, lexer, NEWLINE);
  }
  if (scanner->is_at_file_start && is_line_start && columns > 0) {
    /* The first line of all is indented, below nothing. */
    scanner->next_line = columns;
    return scan_block(scanner, lexer, valid);
  }
  return valid[LEAD_AHEAD] && !valid[ERROR_SENTINEL] && scan_lead(lexer);
}

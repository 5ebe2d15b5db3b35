// The one error for input that cannot be taken. It never shows itself: the screen turns the code into words.

/** Input refused: `code` names the text `error.<code>`; `params` fill its placeholders. */
export class InputError extends Error {
  name = "InputError";

  /**
   * @param {string} code stable, such as "not-a-number"
   * @param {string} field what the input was for, such as "toe"
   * @param {string} expected in words, for logs and tests
   * @param {unknown} got the input as it came
   * @param {object} params further placeholders of the text
   */
  constructor(code, field, expected, got, params = {}) {
    super(`${field}: expected ${expected}, got ${shown(got)}`);
    this.code = code;
    this.field = field;
    this.expected = expected;
    this.got = got;
    this.params = { field, got: shown(got), ...params };
  }
}

const SHOWN_CHARACTERS = 60;

function shown(value) {
  const text = typeof value === "string" ? value : JSON.stringify(value) ?? String(value);
  return text.length > SHOWN_CHARACTERS ? `${text.slice(0, SHOWN_CHARACTERS - 1)}…` : text;
}

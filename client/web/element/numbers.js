// Numbers as people of a language write them. One that could mean two things is not read.

/** A language tag if the browser knows how to write numbers in it, otherwise "en". */
export function languageOf(tag) {
  try {
    return new Intl.NumberFormat(tag).resolvedOptions().locale;
  } catch {
    return "en"; // not a language tag
  }
}

/** A number with at most so many decimals, or with three significant digits. A sign for thousands would mislead. */
export const written = (value, language, most, least = 0) => new Intl.NumberFormat(language, {
  useGrouping: false, numberingSystem: "latn", ...(most === undefined ? { maximumSignificantDigits: 3 }
    : { maximumFractionDigits: most, minimumFractionDigits: least }) }).format(value);

/** Whether people who read this language write 1,5. */
export const hasComma = (language) => written(1.5, language).includes(",");

/**
 * The number that a text means, or undefined. With a decimal comma, a point is also accepted (many keypads have no
 * comma), but not where it could separate thousands: 1.250
 */
export function readNumber(text = "", comma) {
  const typed = text.trim();
  const plain = comma && !/^-?[1-9]\d{0,2}\.\d{3}$/.test(typed) ? typed.replace(",", ".") : comma ? "" : typed;
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : undefined;
}

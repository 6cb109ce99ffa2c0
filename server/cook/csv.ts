/** RFC 4180 fields, rows end with CRLF. */

/** Text that a spreadsheet would run as a formula gets an apostrophe before it; numbers may keep their minus. */
const safe = (field: string): string => (/^[=+@\t\r]|^-(?![\d.]+$)/.test(field) ? `'${field}` : field);

const quoted = (field: string): string =>
  /[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;

export const csvRow = (fields: readonly (string | number)[]): string =>
  fields.map((field) => quoted(typeof field === 'number' ? String(field) : safe(field))).join(',') + '\r\n';

/** The fields of one row whose quotes are closed. */
function fieldsOf(row: string): string[] {
  const fields: string[] = [];
  const pattern = /(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g;
  for (const [, inQuotes, bare] of row.matchAll(pattern))
    fields.push(inQuotes === undefined ? (bare ?? '') : inQuotes.replaceAll('""', '"'));
  return fields;
}

/** The cells of one column that are not empty. @param lines without the row of names; `column` is the last one */
export async function* readCsv(lines: AsyncIterable<string>, column: string): AsyncGenerator<string> {
  let row = '';
  for await (const line of lines) {
    row = row === '' ? line : `${row}\n${line}`;
    // A quoted field may hold line breaks: the row goes on until its quotes are even.
    if ((row.match(/"/g)?.length ?? 0) % 2 === 1) continue;
    const cell = fieldsOf(row).at(-1) ?? '';
    row = '';
    if (cell !== '') yield cell;
  }
  if (row !== '') yield `{"broken":"the last row of column ${column} is not complete"}`;
}

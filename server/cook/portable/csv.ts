import { CsvError, parse } from 'csv-parse';
import { Readable } from 'node:stream';
import { Fault } from '../../../shared/fault.ts';
import { MAX_LINE } from '../../core/lines.ts';

/** RFC 4180 fields, rows end with CRLF. */

/** Text that a spreadsheet would run as a formula gets an apostrophe before it; numbers may keep their minus. */
const safe = (field: string): string => (/^[=+@\t\r]|^-(?![\d.]+$)/.test(field) ? `'${field}` : field);

const quoted = (field: string): string =>
  /[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;

export const csvRow = (fields: readonly (string | number)[]): string =>
  fields.map((field) => quoted(typeof field === 'number' ? String(field) : safe(field))).join(',') + '\r\n';

/**
 * The cells of one column that are not empty. A row that the end of the file cuts off gives a line that says so.
 * @param pieces of the table, cut anywhere, its first row the names
 * @throws Fault `invalid` where it is no table, `too-large` where a row is beyond what one line can be
 */
export async function* readCsv(
  pieces: AsyncIterable<Uint8Array | string>,
  column: string,
): AsyncGenerator<string> {
  const source = Readable.from(pieces);
  const parser = parse({
    bom: true,
    max_record_size: 2 * MAX_LINE,
    relax_column_count: true,
    skip_empty_lines: true,
  });
  source.once('error', (error) => parser.destroy(error));
  source.pipe(parser);
  let place: number | null = null;
  try {
    for await (const record of parser) {
      const row = record as string[]; // without `columns` the library gives lists of texts
      if (place === null) place = row.indexOf(column);
      else if (row[place]) yield row[place] ?? '';
    }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    if (error.code === 'CSV_QUOTE_NOT_CLOSED')
      yield `{"broken":"the last row of column ${column} is not complete"}`;
    else
      throw new Fault(
        error.code === 'CSV_MAX_RECORD_SIZE' ? 'too-large' : 'invalid',
        `That is no table of an export (${error.message}): choose another file.`,
      );
  } finally {
    source.destroy();
    parser.destroy();
  }
}

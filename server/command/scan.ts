import { decoderFor } from '../decoder/decoder-list.ts';
import { createSources } from '../source/source-list.ts';
import { scan, type ScanRow } from '../source/device-scan.ts';
import { numberOption, options } from './command.ts';
import { bleChild } from './files.ts';

/** What a device calls itself, without what a terminal would obey: control and direction characters (ECMA-48, UAX #9). */
export const plain = (text: string): string =>
  // eslint-disable-next-line no-control-regex -- these are what is taken out
  text.replaceAll(/[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, '\ufffd');

const degrees = (celsius: number | null): string =>
  celsius === null ? 'no value' : `${celsius.toFixed(1)} °C`;

function lines({ transport, id, name, rssi, battery, offers, problem }: ScanRow): string[] {
  const facts = [
    rssi === undefined ? '' : `${rssi} dBm`,
    battery === undefined ? '' : `battery ${battery} %`,
  ];
  const head = [`${transport}  ${id}`, name, ...facts].filter(Boolean).join('  ');
  const rows = [
    head,
    ...offers.map((offer) => `      ${offer.label}: ${degrees(offer.celsius)}`),
    ...(problem ? [`      ${problem}`] : []),
  ];
  return rows.map(plain);
}

/** Lists thermometers in range; why a transport could not scan goes to stderr with its remedy. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, {
    seconds: { type: 'string' },
    json: { type: 'boolean' },
    serial: { type: 'string', multiple: true },
  });
  const seconds = numberOption('seconds', values.seconds, 8, [1, 600]);
  const sources = createSources({ bleChild, serialPorts: values.serial ?? [] });
  const { rows, errors } = await scan({ sources, seconds, decoderFor: (frame) => decoderFor(frame) });
  if (values.json) console.log(JSON.stringify(rows));
  else console.log(rows.length === 0 ? 'No thermometer is in reach.' : rows.flatMap(lines).join('\n'));
  for (const { transport, problem, remedy } of errors) console.error(`${transport}: ${problem} ${remedy}`);
}

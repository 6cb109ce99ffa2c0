import type { JSX } from 'preact';
import type { ListedDevice, DevicePart } from '../../../shared/api/devices.ts';
import { listenOf, type Draft } from '../../stores/probes/mapping-draft.ts';
import { lookAt, deviceList } from '../../stores/probes/device-list.ts';
import { deviceWords, nameOf } from '../../stores/probes/device-words.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { SelectField, TextField } from '../sheet/fields.tsx';
import type { DraftProps } from './draft-props.ts';

type Props = DraftProps & { device: ListedDevice | undefined };

/** Device, and the place on it that the bytes come from. */
export function Listen({ draft, edit, device }: Props): JSX.Element {
  const devices = (deviceList.value?.devices ?? []).filter((device) => device.source === 'ble');
  const nearFirst = [...devices].sort((a, b) => (b.rssi ?? -200) - (a.rssi ?? -200));
  return (
    <section class="step">
      <h2>1 · Where it comes from</h2>
      <SelectField
        label="Device, the nearest first"
        options={[
          ['', 'Choose one …'],
          ...nearFirst.map((device): [string, string] => [
            device.id,
            `${nameOf(device)}${device.rssi === undefined ? '' : ` (−${Math.abs(device.rssi)} dBm)`}`,
          ]),
        ]}
        value={draft.device}
        testid="mapping-device"
        onChoose={(device) => edit({ device })}
      />
      {device && <Offered draft={draft} edit={edit} device={device} />}
      {device && draft.place?.characteristic !== undefined && (
        <Asked draft={draft} edit={edit} device={device} />
      )}
    </section>
  );
}

const keyOf = (place: DevicePart | null): string =>
  place ? [place.service, place.characteristic, place.advert, place.instance ?? 0].join(' ') : '';

const NUMBERS = /^[0-9a-f]{4}$/;
const uuid = (text: string | undefined): string =>
  text === undefined ? '' : NUMBERS.test(text) ? `0x${text}` : `${text.slice(0, 8)}…${text.slice(-4)}`;

function wordsOf(place: DevicePart): string {
  if (place.advert?.startsWith('m:')) return `Advertisement, maker ${place.advert.slice(2)}`;
  if (place.advert !== undefined) return `Advertisement, service ${uuid(place.advert)}`;
  const nth = place.instance ? ` no. ${place.instance + 1}` : '';
  return place.name ?? `Service ${uuid(place.service)}, characteristic ${uuid(place.characteristic)}${nth}`;
}

/** Generic Access and Generic Attribute: names and the like, never a temperature. */
const HOUSEKEEPING = ['1800', '1801'];

function Offered({ draft, edit, device }: DraftProps & { device: ListedDevice }): JSX.Element {
  const places = device.parts.filter(
    ({ service, characteristic, advert }) =>
      advert !== undefined || (characteristic !== undefined && !HOUSEKEEPING.includes(service ?? '')),
  );
  const isListed = places.some((place) => place.characteristic !== undefined);
  const choose = (place: DevicePart): void => {
    edit({ place });
    listen({ ...draft, place }, device);
  };
  return (
    <>
      <p class="device-words">{deviceWords(device).join(' · ')}</p>
      {device.problem && (
        <p class="device-problem">
          <Icon name="warning" size={22} /> {device.problem}
        </p>
      )}
      <fieldset class="offered">
        <legend>Its values</legend>
        {places.map((place) => (
          <label class="choice" key={keyOf(place)}>
            <input
              type="radio"
              name="place"
              checked={keyOf(draft.place) === keyOf(place)}
              data-testid={`place-${place.advert ?? place.characteristic}`}
              onChange={() => choose(place)}
            />
            <span>{wordsOf(place)}</span>
          </label>
        ))}
      </fieldset>
      {!isListed && (
        <Button
          data-testid="connect"
          disabled={device.link === 'connecting'}
          onClick={() => void lookAt(device)}
        >
          {device.link === 'connecting' ? 'Connecting …' : 'Connect and see what it offers'}
        </Button>
      )}
    </>
  );
}

/** An advertisement is heard anyway; a characteristic must be subscribed to, or asked. */
function listen(draft: Draft, device: ListedDevice): void {
  const options = listenOf(draft);
  if (typeof options !== 'string' && options.characteristic !== undefined) void lookAt(device, options);
}

/** For devices that say nothing until they are told to. */
function Asked({ draft, edit, device }: DraftProps & { device: ListedDevice }): JSX.Element {
  const writable = device.parts.flatMap(({ characteristic }): [string, string][] =>
    characteristic === undefined ? [] : [[characteristic, uuid(characteristic)]],
  );
  const problem = listenOf(draft);
  return (
    <details class="more" open={draft.start !== '' || draft.every !== ''}>
      <summary>It must be asked, or told to begin</summary>
      <div class="row">
        <TextField
          label="Bytes to write after connecting"
          value={draft.start}
          testid="mapping-start"
          onType={(start) => edit({ start })}
        />
        <SelectField
          label="to"
          options={[['', 'the same characteristic'], ...writable]}
          value={draft.startAt}
          testid="mapping-start-at"
          onChoose={(startAt) => edit({ startAt })}
        />
        <TextField
          label="Read it every so many seconds, where it does not speak by itself"
          kind="decimal"
          value={draft.every}
          testid="mapping-every"
          onType={(every) => edit({ every })}
        />
      </div>
      <p class="wrong" role="status">
        {typeof problem === 'string' ? problem : ''}
      </p>
      <Button data-testid="mapping-ask" onClick={() => listen(draft, device)}>
        Do so now
      </Button>
    </details>
  );
}

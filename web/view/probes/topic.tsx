import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { lookAt, deviceList } from '../../stores/probes/device-list.ts';
import { Button, Form } from '../button/index.tsx';
import { TextField } from '../sheet/fields.tsx';

/** A topic of the user's broker to listen to for a minute; what comes is listed beside what is in reach. */
export function Topic(): JSX.Element | null {
  const topic = useSignal('');
  const source = deviceList.value?.sources.find((source) => source.source === 'mqtt');
  if (!source) return null;
  if (source.state === 'off')
    return (
      <p class="row">
        Boards that publish to an MQTT broker:
        <a class="button" href="#/settings">
          set its address first
        </a>
      </p>
    );
  return (
    <Form class="row topic" onSend={() => void lookAt({ source: 'mqtt', id: topic.value.trim() })}>
      <TextField
        label="Topic of the MQTT broker; # for all below it"
        bind={topic}
        wide
        hint="grill/#"
        testid="topic"
      />
      <Button type="submit" data-testid="listen-topic" disabled={topic.value.trim() === ''}>
        Listen to it
      </Button>
    </Form>
  );
}

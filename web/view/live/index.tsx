import type { JSX } from 'preact';
import { hasCook, member } from '../../stores/live.ts';
import { Channel } from '../channel/index.tsx';
import { Dock } from '../dock/index.tsx';
import { Empty } from '../empty/index.tsx';
import { EveningLine } from '../evening-line/index.tsx';
import { PizzaRun } from '../pizza-run/index.tsx';
import { Sentence } from '../sentence/index.tsx';
import { Strip } from '../strip/index.tsx';
import { Timeline } from '../timeline/index.tsx';

/** The evening as one line of time, with one sentence above it. */
export const LivePage = (): JSX.Element => (
  <div class="live">
    <div class="over-dock">
      <div class="say">
        <Sentence />
        <Channels />
      </div>
      <div class="asks">
        <Strip />
        <EveningLine />
      </div>
      {hasCook.value ? <Timeline /> : <Empty />}
      <PizzaRun />
    </div>
    <Dock />
  </div>
);

const channels = member('channels');

function Channels(): JSX.Element | null {
  if (!channels.value?.length) return null;
  return (
    <div class="channels">
      {channels.value.map((channel) => (
        <Channel key={channel.id} channel={channel} />
      ))}
    </div>
  );
}

import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { timeWriter } from '../../lib/format.ts';
import { cookTime, lost, now } from '../../stores/live.ts';
import { detail, sentence, spoken, type Sentence as Said } from '../../stores/sentence.ts';
import { unit } from '../../stores/settings.ts';
import { Icon, type IconName } from '../icon/index.tsx';

const ICONS: Record<Said['symbol'], IconName> = {
  wait: 'wait',
  go: 'go',
  turn: 'turn',
  off: 'off',
  close: 'closed',
  open: 'open',
  lid: 'lid',
  doubt: 'doubt',
  lost: 'lost',
  rest: 'rest',
};

const said = computed(() => sentence(now.value, unit.value, { t: cookTime.value ?? 0, lost: lost.value }));
const meaning = computed(() => said.value.meaning);
/** Spoken only when it comes to mean something else: a screen reader that reads each degree is switched off. */
const announced = computed(() => (meaning.value, spoken(said.peek())));

const beside = computed(() => {
  const document = now.value;
  if (!document?.cook || lost.value !== null) return '';
  return detail(document, unit.value, cookTime.value ?? 0, timeWriter(document.cook));
});

/** Longer words take smaller type, so that the sentence stays on two lines. */
const sizeOf = ({ head, rest }: Said): string =>
  `${head.length > 12 ? 'long-head' : 'short-head'} ${rest.length > 24 ? 'long-rest' : 'short-rest'}`;

export function Sentence(): JSX.Element {
  const { head, rest, tone, symbol } = said.value;
  return (
    <div class={`sentence ${tone}`}>
      <span class="sentence-symbol">
        <Icon name={ICONS[symbol]} size={96} />
      </span>
      <h1 data-testid="sentence" class={sizeOf(said.value)}>
        <span class="head">{head}</span>
        <span class="visually-hidden">, </span>
        <span class="rest">{rest}</span>
      </h1>
      <p class="beside">{beside.value}</p>
      <Announcer />
    </div>
  );
}

const Announcer = (): JSX.Element => (
  <p class="visually-hidden" aria-live="polite">
    {announced.value}
  </p>
);

import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { timeWriter } from '../../lib/format.ts';
import { steady } from '../../lib/steady.ts';
import { cookTime, lost, now } from '../../stores/live.ts';
import { spoken, type Sentence as Said } from '../../stores/say.ts';
import { detail, sentence } from '../../stores/sentence.ts';
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

const said = steady(() => sentence(now.value, unit.value, { t: cookTime.value ?? 0, lost: lost.value }));
const meaning = computed(() => said.value.meaning);
/** Spoken only when it comes to mean something else: a screen reader that reads each degree is switched off. */
const announced = computed(() => (meaning.value, spoken(said.peek())));

const beside = computed(() => {
  const document = now.value;
  if (!document?.cook || lost.value !== null) return '';
  return detail(document, unit.value, cookTime.value ?? 0, timeWriter(document.cook));
});

/** Type is as large as the words allow: their number goes to the style sheet. */
const lengths = ({ label, head, rest }: Said): Record<string, number> => ({
  '--head': Math.max(8, head.length + label.length * 0.6),
  '--rest': Math.max(8, rest.length),
});

export function Sentence(): JSX.Element {
  const { label, head, rest, tone, symbol } = said.value;
  return (
    <div class={`sentence ${tone}`}>
      <span class="sentence-symbol">
        <Icon name={ICONS[symbol]} size={96} />
      </span>
      <div class="words">
        <h1 data-testid="sentence" style={lengths(said.value)}>
          <span class="head">
            {label && <span class="label">{label} </span>}
            {head}
          </span>
          <span class="visually-hidden">, </span>
          <span class="rest">{rest}</span>
        </h1>
        <p class="beside">{beside.value}</p>
      </div>
    </div>
  );
}

/** To be there on every page: who is not looking hears the evening go on. */
export const Announcer = (): JSX.Element => (
  <p class="visually-hidden" aria-live="polite">
    {announced.value}
  </p>
);

import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import { isLikely } from '../../../shared/alert/headline-parts.ts';
import { ALERT_CALLS, type AlertCall } from '../../../shared/alert/calls.ts';
import type { AlertKind } from '../../../shared/alert/kind.ts';
import { VENT_NOTES } from '../../../shared/evening/vents.ts';
import { ALERT_KINDS, type AlertName } from '../../../shared/alert/kinds.ts';
import { route } from '../../lib/router.ts';
import { acknowledge, tellEvent, tellPizza } from '../../stores/act/acts.ts';
import { bakeLonger, shelve } from '../../stores/act/later-acts.ts';
import { tookOff } from '../../stores/act/ask.ts';
import { answeredWith, noticed, type Standing } from '../../stores/derive/calling-alerts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { comesTo, orderOf } from '../../stores/derive/alert-headlines.ts';
import { onStone, waiting } from '../../stores/derive/pizza-countdowns.ts';
import { viewOf, type View } from '../../stores/derive/headline-sentence.ts';
import { sheet } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { REST_MS } from '../action-bar/rest.ts';
import { Icon, SYMBOL_ICONS } from '../icon/index.tsx';
import { useRest } from '../sheet/use-rest.ts';
import { ErrorBar } from '../toast/index.tsx';
import { Lost } from '../lost/index.tsx';

const QUIET_MINUTES = 5;

/** How far the vents are once the order was followed. */
const VENTS_AFTER = { close: 'nearly-shut', open: 'open' } as const;

const nameOf = (id: string | null): string => now.value?.pizzas.find((p) => p.id === id)?.name || 'Pizza';
/** What the undo says: with several pizzas on the stone, of which one. */
const DONE_WORDS = {
  launch: (name: string) => `${name} launched`,
  turn: (name: string) => `${name} turned`,
  off: (name: string) => `${name} off the stone`,
} as const;
const nextId = (): string | null => (now.value && waiting(now.value)[0]?.id) ?? null;

/** A recording calls on its own page only. */
const mayCall = computed(() => !now.value?.rehearsal || route.value.page === 'live');
const shown = computed(() => (mayCall.value ? noticed(now.value?.alerts ?? []) : null));

/** The alert that nobody has seen yet, over everything else, until someone says so on any screen. */
export function Notice(): JSX.Element | null {
  const alert = shown.value;
  return alert && <Shown key={nameNow(alert) + alert.alert + (alert.pizza ?? '')} alert={alert} />;
}

/** The kind of order that it comes to by what is known now. */
function nameNow(alert: Standing): AlertName {
  const seen = view();
  return seen ? comesTo(seen, alert).name : alert.alert;
}

async function report(alert: Standing): Promise<void> {
  const name = nameNow(alert);
  const { did } = ALERT_CALLS[name];
  const standing = now.peek()?.alerts ?? [];
  if (!did || !(await tellDid(did, alert.pizza, ALERT_KINDS[name].vents))) return;
  for (const each of answeredWith(standing, alert.alert)) await acknowledge(each);
}

function tellDid(
  { words, does }: NonNullable<AlertCall['did']>,
  pizza: string | undefined,
  vents: AlertKind['vents'],
): Promise<unknown> {
  if (does === 'vent' || does === 'lid-closed')
    return tellEvent(does, words, vents && VENT_NOTES[VENTS_AFTER[vents]]);
  const first = now.value && onStone(now.value, cookTime.value ?? 0)[0];
  const id = does === 'launch' ? nextId() : (pizza ?? first?.id ?? null);
  return does === 'off'
    ? tookOff(id, DONE_WORDS.off(nameOf(id)))
    : tellPizza(does, id, DONE_WORDS[does](nameOf(id)));
}

const view = (): View | null => now.value && viewOf(now.value, unit.value, cookTime.value ?? 0);

/** A look comes first, as of a stone that is likely ready. */
function wantsLook(alert: Standing): boolean {
  const name = nameNow(alert);
  const { headingIfLikely } = ALERT_CALLS[name];
  return (
    ALERT_KINDS[name].look.asksForReading ??
    (headingIfLikely !== undefined && isLikely(view()?.stone ?? null))
  );
}

function headingOf(alert: Standing): string {
  const { heading, headingIfLikely } = ALERT_CALLS[nameNow(alert)];
  return (wantsLook(alert) && headingIfLikely) || heading;
}

async function lookFirst({ alert }: Standing): Promise<void> {
  await acknowledge(alert);
  sheet.value = { kind: 'spot' };
}

/** In the person's unit; what the order itself says is not said twice. */
function wordsOf(alert: Standing): string {
  const seen = view();
  if (!seen) return alert.message;
  const { head, count, rest } = orderOf(seen, alert);
  const heading = headingOf(alert);
  const order = [head, count].filter((words) => words && !heading.includes(words));
  return [...order, rest].filter(Boolean).join(', ');
}

/**
 * What the full screen must not cover: the way to the lid where the order leads there, that it stays shut where another
 * order stands ("close the vents" beside "open the vents" is read as either), and the most dangerous caution of the moment.
 */
function LidFirst({ alert }: { alert: Standing }): JSX.Element | null {
  const { cautions: [caution] = [] } = now.value ?? {};
  const seen = view();
  if (now.value?.lidHazard && !ALERT_KINDS[alert.alert].shutsLid)
    return (
      <p class="notice-first" data-testid="notice-first">
        {(seen && orderOf(seen, alert).first) || 'Leave the lid shut.'}
      </p>
    );
  return caution ? (
    <p class="notice-caution" data-testid="notice-caution">
      {caution.text}
    </p>
  ) : null;
}

/** A pizza that is due is not silenced: it gets a minute more, or comes off. */
function PutOff({ alert: { alert, pizza } }: { alert: Standing }): JSX.Element | null {
  if (!ALERT_KINDS[alert].isNeverSilenced)
    return (
      <Button data-testid="shelve" onClick={() => void shelve(alert, QUIET_MINUTES)}>
        <Icon name="quiet" size={30} /> Quiet for {QUIET_MINUTES} min
      </Button>
    );
  if (pizza === undefined) return null;
  return (
    <Button
      data-testid="longer"
      onClick={() => void bakeLonger(pizza, `One more minute for ${nameOf(pizza)}`)}
    >
      <Icon name="wait" size={30} /> One more minute
    </Button>
  );
}

function Shown({ alert }: { alert: Standing }): JSX.Element {
  const element = useRef<HTMLDialogElement>(null);
  const isResting = useRest(REST_MS, element);
  // Its cleanup runs while the dialog is still in the page: closed there, the focus goes back to where it was.
  useLayoutEffect(() => {
    const dialog = element.current;
    dialog?.showModal();
    return () => dialog?.close();
  }, []);
  const name = nameNow(alert);
  const { symbol } = ALERT_KINDS[name].look;
  const { did } = ALERT_CALLS[name];
  const isLook = wantsLook(alert);
  return (
    <dialog
      class={`notice ${alert.urgency}`}
      ref={element}
      role="alertdialog"
      aria-labelledby="notice-order"
      aria-describedby="notice-message"
      data-testid="notice"
      onCancel={(event) => event.preventDefault()}
    >
      {now.value?.rehearsal && <p class="notice-rehearsal">Rehearsal: a recording, not your fire</p>}
      <Lost testid="server-lost-panel" />
      <ErrorBar testid="trouble-panel" />
      <div class="notice-body">
        <Icon name={SYMBOL_ICONS[symbol]} size={160} />
        <h2 id="notice-order" data-testid="notice-order">
          {headingOf(alert)}
        </h2>
        <p id="notice-message">{wordsOf(alert)}</p>
        <LidFirst alert={alert} />
      </div>
      <div class="notice-acts" inert={isResting}>
        {isLook && (
          <Button autofocus data-testid="notice-look" onClick={() => void lookFirst(alert)}>
            <Icon name="spot" size={36} /> Look
          </Button>
        )}
        {did && (
          <Button autofocus={!isLook} data-testid="notice-did" onClick={() => void report(alert)}>
            <Icon name="check" size={36} /> {did.words}
          </Button>
        )}
        <Button
          look="seen"
          data-testid="acknowledge"
          autofocus={!isLook && !did}
          onClick={() => void acknowledge(alert.alert)}
        >
          Seen
        </Button>
        {!isLook && <PutOff alert={alert} />}
      </div>
    </dialog>
  );
}

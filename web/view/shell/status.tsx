import type { JSX } from 'preact';
import { askToNotify, notifyState } from '../../lib/notify.ts';
import { canSpeak, setSpeech, speak, speaks } from '../../lib/speech.ts';
import {
  canVibrate,
  play,
  setVibration,
  soundState,
  unlockSound,
  vibrate,
  vibrates,
} from '../../lib/sound.ts';
import { wakeState } from '../../lib/wake-state.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

const SOUND_WORDS = {
  on: 'Sound is on.',
  locked: 'Sound is off: the browser waits for a tap on the page.',
  none: 'This browser makes no sound: watch the screen.',
};

/** What this screen can do to reach the person, and why not where it cannot. */
export const ThisScreen = (): JSX.Element => (
  <ul class="this-screen">
    <li>
      <Icon name={soundState.value === 'on' ? 'soundOn' : 'soundOff'} size={30} />
      <span>{SOUND_WORDS[soundState.value]}</span>
      <TestSounds />
    </li>
    <Speech />
    <Vibration />
    <li>
      <Icon name={wakeState.value.held ? 'screen' : 'screenOff'} size={30} />
      <span data-testid="wake-lock">
        {wakeState.value.held
          ? 'The screen stays on during the cook.'
          : `The screen may sleep: ${wakeState.value.reason}`}
      </span>
    </li>
    <li>
      <Icon name="bell" size={30} />
      <span>
        {notifyState.value.allowed
          ? 'Notifications are shown when this page is not in view.'
          : `No notifications: ${notifyState.value.reason}`}
      </span>
      {notifyState.value.canAsk && <Button onClick={() => void askToNotify()}>Allow notifications</Button>}
    </li>
  </ul>
);

function Speech(): JSX.Element | null {
  if (!canSpeak) return null;
  const toggle = (): void => {
    setSpeech(!speaks.value);
    if (speaks.value) speak('Launch the mushroom pizza');
  };
  return (
    <li>
      <Icon name={speaks.value ? 'soundOn' : 'soundOff'} size={30} />
      <span>{speaks.value ? 'Orders are spoken aloud.' : 'Orders are not spoken.'}</span>
      <span class="row">
        <Button aria-pressed={speaks.value} data-testid="speech" onClick={toggle}>
          {speaks.value ? 'Stop speaking' : 'Speak them'}
        </Button>
        <Button data-testid="hear-speech" onClick={() => speak('Launch the mushroom pizza', true)}>
          Hear a spoken line
        </Button>
      </span>
    </li>
  );
}

function Vibration(): JSX.Element | null {
  if (!canVibrate) return null;
  return (
    <li>
      <Icon name="bell" size={30} />
      <span>
        {vibrates.value ? 'This device vibrates with each sound.' : 'Vibration is switched off here.'}
      </span>
      <span class="row">
        <Button
          aria-pressed={vibrates.value}
          data-testid="vibration"
          onClick={() => setVibration(!vibrates.value)}
        >
          {vibrates.value ? 'Vibrate no more' : 'Let it vibrate'}
        </Button>
        <Button data-testid="feel" onClick={() => vibrate('act')}>
          Feel it
        </Button>
      </span>
    </li>
  );
}

function TestSounds(): JSX.Element {
  const test = (pattern: 'prompt' | 'act' | 'urgent') => (): void => {
    void unlockSound().then(() => play(pattern));
  };
  return (
    <span class="row">
      <Button data-testid="hear-prompt" onClick={test('prompt')}>
        Hear “good to know”
      </Button>
      <Button data-testid="hear-act" onClick={test('act')}>
        Hear “do something”
      </Button>
      <Button data-testid="hear-urgent" onClick={test('urgent')}>
        Hear “now!”
      </Button>
    </span>
  );
}

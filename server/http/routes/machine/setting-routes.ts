import { patchSettings, rehearsalAct, settings } from '../../../../shared/api/api.ts';
import { grillAct, grillList } from '../../../../shared/api/grill.ts';
import { now } from '../../../../shared/api/live.ts';
import { pause, setPace, step } from '../../../cook/rehearsal/rehearsal.ts';
import type { RouteParts } from '../route-parts.ts';
import { done, route, type Route } from '../../route.ts';

export const settingRoutes = ({ session, commands }: RouteParts): Route[] => [
  route('POST /api/rehearsal', {
    summary: 'Starts, steers or leaves the playing of a recording.',
    body: rehearsalAct,
    answer: now,
    act: async ({ body }) => {
      if (body.do === 'start')
        await session.rehearse(body.file, body.pace, {
          skip: body.skip ?? false,
          isDone: body.isDone ?? false,
          instead: body.instead ?? false,
        });
      if (body.do === 'pause') pause(session, true);
      if (body.do === 'resume') pause(session, false);
      if (body.do === 'pace') setPace(session, body.pace);
      if (body.do === 'seek') await session.seek(body.t);
      if (body.do === 'step') await step(session, body.seconds);
      if (body.do === 'leave') session.leaveRehearsal();
      return session.now();
    },
  }),
  route('GET /api/settings', {
    summary: 'What the person has set.',
    answer: settings,
    act: () => session.settings(),
  }),
  route('PATCH /api/settings', {
    summary: 'Sets something; a new band also moves the running cook.',
    body: patchSettings,
    answer: settings,
    act: ({ body }) => commands.putSettings(body),
  }),
  route('GET /api/grills', {
    summary: 'Grills by name, and what the cooks of each taught: times, lag, offset, each with its spread.',
    answer: grillList,
    act: () => session.grills.list(stoneOf(session)),
  }),
  route('POST /api/grills', {
    summary: 'Which grill it is; forgets what one was taught; says why a cook does not fit its grill.',
    body: grillAct,
    answer: grillList,
    act: ({ body }) => {
      session.grills.act(body);
      return session.grills.list(stoneOf(session));
    },
  }),
  route('DELETE /api/grill', {
    summary: 'Forgets what earlier cooks taught about the grill of now.',
    answer: done,
    act: () => {
      session.grills.forgetCurrent();
    },
  }),
];

const stoneOf = (session: RouteParts['session']): readonly [number, number] =>
  session.settings().targets.stone;

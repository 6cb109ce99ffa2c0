import { patchSettings, rehearsalAct, settings } from '../../../../shared/api/api.ts';
import { grillAct, grillList } from '../../../../shared/api/grill.ts';
import { now } from '../../../../shared/api/live.ts';
import { pause, setPace, step } from '../../../cook/rehearsal/rehearsal.ts';
import { DONE, done, type RouteParts } from '../route-parts.ts';
import { route, type Route } from '../../route.ts';

export const settingRoutes = ({ session, commands }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/rehearsal',
    summary: 'Starts, steers or leaves the playing of a recording.',
    body: rehearsalAct,
    status: 200,
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
  route({
    method: 'GET',
    path: '/api/settings',
    summary: 'What the person has set.',
    status: 200,
    answer: settings,
    act: () => session.settings(),
  }),
  route({
    method: 'PATCH',
    path: '/api/settings',
    summary: 'Sets something; a new band also moves the running cook.',
    body: patchSettings,
    status: 200,
    answer: settings,
    act: ({ body }) => commands.putSettings(body),
  }),
  route({
    method: 'GET',
    path: '/api/grills',
    summary: 'Grills by name, and what the cooks of each taught: times, lag, offset, each with its spread.',
    status: 200,
    answer: grillList,
    act: () => session.grills.list(stoneOf(session)),
  }),
  route({
    method: 'POST',
    path: '/api/grills',
    summary: 'Which grill it is; forgets what one was taught; says why a cook does not fit its grill.',
    body: grillAct,
    status: 200,
    answer: grillList,
    act: ({ body }) => {
      session.grills.act(body);
      return session.grills.list(stoneOf(session));
    },
  }),
  route({
    method: 'DELETE',
    path: '/api/grill',
    summary: 'Forgets what earlier cooks taught about the grill of now.',
    status: 200,
    answer: done,
    act: () => {
      session.grills.forgetCurrent();
      return DONE;
    },
  }),
];

const stoneOf = (session: RouteParts['session']): readonly [number, number] =>
  session.settings().targets.stone;

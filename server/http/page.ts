import { negotiate } from '@fastify/accept-negotiator';
import send from '@fastify/send';
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { mayLook } from './authorisation.ts';

/** What a ready-compressed copy that the build puts beside a file is called, the smaller first. */
const ENDINGS = { br: '.br', gzip: '.gz' };
const ENCODINGS = ['br', 'gzip'] as const;
const START = 'index.html';
/** Pages of the page, as people type them; its own addresses have them behind a `#`. */
const TYPED = /^(live|plan|stone|probes|past(\/\d+)?|overlay|settings)\/?$/;
/** What browsers ask for by themselves. */
const ICON = 'favicon.ico';

/** What is to stand in the page before its script has run, and the rules that go with it; null where nothing is. */
export type FirstScreen = (languages: string) => { html: string; styles: string } | null;

const PLACE = '<div id="page">';

/** The page with its first screen in it, which is of this moment, so that nobody keeps it. */
function sendFirst(reply: FastifyReply, start: string, { html, styles }: { html: string; styles: string }) {
  const hash = createHash('sha256').update(styles).digest('base64');
  const policy = String(reply.getHeader('content-security-policy'));
  const text = start
    .replace('</head>', () => `<style>${styles}</style></head>`)
    .replace(PLACE, () => PLACE + html);
  return reply
    .header(
      'content-security-policy',
      policy.replace("style-src 'self'", () => `style-src 'self' 'sha256-${hash}'`),
    )
    .header('cache-control', 'no-store')
    .type('text/html; charset=utf-8')
    .send(text);
}

/**
 * Serves the built page. What is asked for is looked up in the list of its files, made once, and only a
 * name of that list reaches the disk: there is no path to confine.
 * @param folder what the build wrote; it has no folders of its own
 * @param first put into the page for who may see what is measured
 */
export function pageOf(
  folder: string,
  first: FirstScreen = () => null,
): (request: FastifyRequest, reply: FastifyReply) => Promise<void> {
  const names = new Set(readdirSync(folder));
  const start = names.has(START) ? readFileSync(join(folder, START), 'utf8') : '';
  const isCopy = (name: string): boolean => Object.values(ENDINGS).some((ending) => name.endsWith(ending));
  return async (request, reply) => {
    const name = request.url.split('?', 1)[0]?.slice(1) || START;
    if (TYPED.test(name)) return reply.redirect(`/#/${name.replace(/\/$/, '')}`);
    if (name === ICON && names.has('icon.svg')) return reply.redirect('/icon.svg', 301);
    if (!names.has(name) || isCopy(name)) return reply.callNotFound();
    const screen =
      name === START && mayLook(request.raw) ? first(request.headers['accept-language'] ?? '') : null;
    if (screen) return sendFirst(reply, start, screen);
    const copies = ENCODINGS.filter((encoding) => names.has(name + ENDINGS[encoding]));
    const encoding = negotiate(request.headers['accept-encoding'] ?? '', copies);
    const file = encoding ? name + ENDINGS[encoding] : name;
    const sent = await send(request.raw, `/${encodeURIComponent(file)}`, {
      root: folder,
      index: false,
      acceptRanges: false, // a part of a compressed copy is of no use
      cacheControl: false,
      contentType: false, // that of the compressed copy would be sent
    });
    if (sent.statusCode === 404) return reply.callNotFound();
    reply.code(sent.statusCode).headers(sent.headers);
    if (copies.length > 0) reply.header('vary', 'accept-encoding');
    if (sent.statusCode === 200) {
      const type = send.mime.getType(name) ?? 'application/octet-stream';
      reply.type(send.isUtf8MimeType(type) ? `${type}; charset=utf-8` : type);
      if (encoding) reply.header('content-encoding', encoding);
    }
    return reply.send(sent.stream);
  };
}

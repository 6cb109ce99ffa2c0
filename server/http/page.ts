import { negotiate } from '@fastify/accept-negotiator';
import send from '@fastify/send';
import { readdirSync } from 'node:fs';
import type { FastifyReply, FastifyRequest } from 'fastify';

/** The ready-compressed copies that the build puts beside a file, the smaller first. */
const COPIES = { br: '.br', gzip: '.gz' };
const START = 'index.html';
const isCopy = (name: string) => Object.values(COPIES).some((ending) => name.endsWith(ending));

/**
 * Serves the built page. What is asked for is looked up in the list of its files, made once, and only a
 * name of that list reaches the disk: there is no path to confine.
 * @param folder what the build wrote; it has no folders of its own
 */
export function pageOf(folder: string): (request: FastifyRequest, reply: FastifyReply) => Promise<void> {
  const names = new Set(readdirSync(folder));
  return async (request, reply) => {
    const name = request.url.split('?', 1)[0]?.slice(1) || START;
    if (!names.has(name) || isCopy(name)) return reply.callNotFound();
    const coded = Object.entries(COPIES).filter(([, ending]) => names.has(name + ending));
    const offered = coded.map(([encoding]) => encoding);
    const encoding = negotiate(request.headers['accept-encoding'] ?? '', offered);
    const ending = coded.find(([one]) => one === encoding)?.[1] ?? '';
    const sent = await send(request.raw, `/${encodeURIComponent(name + ending)}`, {
      root: folder,
      index: false,
      acceptRanges: false, // a part of a compressed copy is of no use
      cacheControl: false,
      contentType: false, // that of the copy would be told
    });
    if (sent.statusCode === 404) return reply.callNotFound();
    reply.code(sent.statusCode).headers(sent.headers);
    if (offered.length > 0) reply.header('vary', 'accept-encoding');
    if (sent.statusCode === 200) {
      const type = send.mime.getType(name) ?? 'application/octet-stream';
      reply.type(send.isUtf8MimeType(type) ? `${type}; charset=utf-8` : type);
      if (ending) reply.header('content-encoding', encoding);
    }
    return reply.send(sent.stream);
  };
}

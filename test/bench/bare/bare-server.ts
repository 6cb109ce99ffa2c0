import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { root, scratch } from '../../support/server.ts';

/**
 * What no server of this kind can be faster than: Node's HTTP, a row of SQLite a reading, and ws, with the same 25 ms in
 * which what changes is sent together. It checks nothing, computes nothing and does not wait for the disk.
 */
const SOURCE = `
import Database from 'better-sqlite3';
import { createServer } from 'node:http';
import { WebSocketServer } from 'ws';
const db = new Database(process.argv[1]);
db.pragma('journal_mode = WAL');
db.pragma('synchronous = NORMAL');
db.exec('CREATE TABLE reading (at INTEGER, channel TEXT, celsius REAL)');
const insert = db.prepare('INSERT INTO reading VALUES (?, ?, ?)');
let waiting = [];
let timer = null;
let seq = 0;
const publish = () => {
  timer = null;
  const text = JSON.stringify({ type: 'change', seq: ++seq, now: {}, readings: waiting });
  waiting = [];
  for (const ws of pages.clients) ws.send(text);
};
const server = createServer((request, answer) => {
  let body = '';
  request.on('data', (chunk) => (body += chunk));
  request.on('end', () => {
    for (const { channel, celsius } of JSON.parse(body).readings) {
      insert.run(Date.now(), channel, celsius);
      waiting.push([channel, 0, celsius, 'good']);
    }
    timer ??= setTimeout(publish, 25);
    answer.writeHead(202).end('{}');
  });
});
const pages = new WebSocketServer({ server, perMessageDeflate: false });
server.listen(0, '127.0.0.1', () => console.log('http://127.0.0.1:' + server.address().port));
`;

export async function startBareServer(): Promise<{ url: string; stop(): Promise<void> }> {
  const child = spawn(
    process.execPath,
    ['--input-type=module', '-e', SOURCE, join(scratch(), 'bare.sqlite')],
    { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const [url] = (await once(createInterface({ input: child.stdout }), 'line')) as [string];
  return {
    url,
    async stop() {
      const gone = once(child, 'exit');
      child.kill('SIGKILL');
      await gone;
    },
  };
}

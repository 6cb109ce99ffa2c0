/** All that the bare page does, given to it as text: it uses nothing from outside. */
export function curveOf(): void {
  const sentence = document.querySelector('[data-testid=sentence]');
  const degrees = document.querySelector('[data-testid=channel-stone] .value');
  const canvas = document.querySelector('canvas');
  const pen = canvas?.getContext('2d');
  const points: number[] = Array.from({ length: 1500 }, (_, i) => 200 + 60 * Math.sin(i / 90));
  const socket = new WebSocket(`ws://${location.host}/`);
  socket.addEventListener('message', ({ data }) => {
    const message = JSON.parse(String(data)) as {
      now?: { t?: number; state?: string; channels?: { celsius: number }[] };
      t?: number;
    }; // the server's own
    const { now } = message;
    const celsius = now?.channels?.[0]?.celsius;
    if (celsius !== undefined && degrees) degrees.textContent = `${Math.round(celsius)}°`;
    if (sentence) sentence.textContent = `The stone, ${now?.state ?? ''}, at ${now?.t ?? message.t} s`;
    if (!pen || !canvas) return;
    points.push(celsius ?? 200);
    points.shift();
    pen.clearRect(0, 0, canvas.width, canvas.height);
    for (let curve = 0; curve < 2; curve++) {
      pen.beginPath();
      points.forEach((y, x) => pen.lineTo((x * canvas.width) / points.length, y + 30 * curve));
      pen.stroke();
    }
  });
}

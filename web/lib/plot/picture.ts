/** Height of the line of words above the curve, as a share of the picture's width. */
const HEAD_SHARE = 0.045;

/** The curve that is on the page as a PNG with its title, saved as a file. Nothing where no curve is drawn. */
export async function savePicture(title: string): Promise<void> {
  const curve = document.querySelector<HTMLCanvasElement>('.cook-canvas canvas');
  const blob = curve && (await pictureOf(curve, title));
  if (!blob) return;
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = `${title.replaceAll(/[^\p{L}\p{N}]+/gu, '-')}.png`;
  link.click();
  URL.revokeObjectURL(link.href);
}

function pictureOf(curve: HTMLCanvasElement, title: string): Promise<Blob | null> {
  const head = Math.round(curve.width * HEAD_SHARE);
  const picture = document.createElement('canvas');
  picture.width = curve.width;
  picture.height = curve.height + head;
  const context = picture.getContext('2d');
  if (!context) return Promise.resolve(null);
  const style = getComputedStyle(document.documentElement);
  context.fillStyle = style.getPropertyValue('--ground');
  context.fillRect(0, 0, picture.width, picture.height);
  context.fillStyle = style.getPropertyValue('--ink');
  context.font = `700 ${Math.round(head * 0.6)}px system-ui, sans-serif`;
  context.textBaseline = 'middle';
  context.fillText(title, head / 2, head / 2);
  context.drawImage(curve, 0, head);
  return new Promise((resolve) => picture.toBlob(resolve, 'image/png'));
}

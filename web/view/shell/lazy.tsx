import { signal } from '@preact/signals';
import type { ComponentType, JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { fetchPart } from './fetch-part.ts';
import { Button } from '../button/index.tsx';

const FETCHING = (
  <p class="page" role="status">
    Fetching this page …
  </p>
);

const fetched = new Map<string, Promise<void>>();

/** A style sheet, put into the head once. @throws when it does not come; then it may be asked for again */
function fetchStyles(file: string): Promise<void> {
  const before = fetched.get(file);
  if (before) return before;
  const coming = new Promise<void>((resolve, reject) => {
    const link = Object.assign(document.createElement('link'), {
      rel: 'stylesheet',
      href: file,
      onload: resolve,
      onerror: () => {
        fetched.delete(file);
        link.remove();
        reject(new Error(file));
      },
    });
    document.head.append(link);
  });
  fetched.set(file, coming);
  return coming;
}

/**
 * A page whose code and style sheet are fetched when it is first opened, so that the first screen is there sooner; it is
 * drawn once both have come, since without its styles it would jump.
 * @param meanwhile what stands until then
 */
export function lazy<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
  styles?: string,
  meanwhile: JSX.Element | null = FETCHING,
): (props: Props) => JSX.Element | null {
  const page = signal<ComponentType<Props> | null>(null);
  const failed = signal(false);
  let isComing = false;
  const fetchIt = async (): Promise<void> => {
    isComing = true;
    [page.value] = await fetchPart(
      () => Promise.all([load(), styles && fetchStyles(styles)]),
      () => (failed.value = true),
    );
  };
  return function Later(props: Props): JSX.Element | null {
    useEffect(() => {
      if (!isComing) void fetchIt();
    }, []);
    const Page = page.value;
    if (Page) return <Page {...props} />;
    if (!failed.value) return meanwhile;
    return (
      <div class="page">
        <p role="alert">
          This page could not be fetched: see that the server runs. It comes by itself once the server
          answers.
        </p>
        <Button onClick={() => location.reload()}>Load again</Button>
      </div>
    );
  };
}

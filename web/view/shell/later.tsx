import { signal } from '@preact/signals';
import type { ComponentType, JSX } from 'preact';
import { useEffect } from 'preact/hooks';

/** A page whose code is fetched when it is first opened, so that the first screen is there sooner. */
export function later<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): (props: Props) => JSX.Element {
  const page = signal<ComponentType<Props> | null>(null);
  const failed = signal(false);
  const fetchIt = async (): Promise<void> => {
    failed.value = false;
    try {
      page.value = await load();
    } catch {
      failed.value = true;
    }
  };
  return function Later(props: Props): JSX.Element {
    useEffect(() => {
      if (!page.value) void fetchIt();
    }, []);
    const Page = page.value;
    if (Page) return <Page {...props} />;
    if (!failed.value)
      return (
        <p class="page" role="status">
          Fetching this page …
        </p>
      );
    return (
      <div class="page">
        <p role="alert">This page could not be fetched: see that the server runs, then load it again.</p>
        <button type="button" class="button" onClick={() => location.reload()}>
          Load again
        </button>
      </div>
    );
  };
}

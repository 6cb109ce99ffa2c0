import type { RefObject } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';

/**
 * Opens a dialog over the page. However it ends, the browser gives the focus back to what had it: a dialog that is only
 * taken out of the page leaves it nowhere. A layout effect, since its cleanup runs while the dialog is still in the page.
 * @param ended once somebody closed it; not where it went because another took its place
 */
export function useModal(ended: () => void): { ref: RefObject<HTMLDialogElement | null>; onClose(): void } {
  const ref = useRef<HTMLDialogElement | null>(null);
  const isOver = useRef(false);
  useLayoutEffect(() => {
    const dialog = ref.current;
    dialog?.showModal();
    return () => {
      isOver.current = true;
      dialog?.close();
    };
  }, []);
  return { ref, onClose: () => isOver.current || ended() };
}

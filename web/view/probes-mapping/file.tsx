import type { JSX } from 'preact';
import { mappingOf } from '../../stores/probes/mapping-draft.ts';
import { actionError } from '../../stores/act/acts.ts';
import { partForTap } from '../../api.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import type { DraftProps } from './draft-props.ts';

/** Mappings are files that people can share. */
export function File({ draft, edit }: DraftProps): JSX.Element {
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    try {
      const { draftOf } = await partForTap(import('../../stores/probes/mapping-file.ts'));
      edit(draftOf(await file.text(), draft.device));
      actionError.value = null;
    } catch (error) {
      actionError.value = error instanceof Error ? error.message : String(error);
    }
    input.value = '';
  };
  const save = (): void => {
    const mapping = mappingOf(draft);
    if (typeof mapping === 'string') actionError.value = mapping;
    else download(`${mapping.name.replaceAll(/[^\p{L}\p{N}]+/gu, '-').toLowerCase()}.mapping.json`, mapping);
  };
  return (
    <>
      <label class="button file">
        <RareIcon name="bring" /> Import
        <input
          type="file"
          accept=".json,application/json"
          data-testid="mapping-import"
          onChange={(event) => void take(event.currentTarget)}
        />
      </label>
      <Button data-testid="mapping-export" onClick={save}>
        <RareIcon name="take" /> Export
      </Button>
    </>
  );
}

function download(name: string, content: object): void {
  const url = URL.createObjectURL(
    new Blob([`${JSON.stringify(content, null, 2)}\n`], { type: 'application/json' }),
  );
  const link = Object.assign(document.createElement('a'), { href: url, download: name });
  link.click();
  URL.revokeObjectURL(url);
}

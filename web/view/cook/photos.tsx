import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api/api.ts';
import { MAX_PHOTOS_OF_PIZZA, PHOTO_PARTS, type PhotoPart } from '../../../shared/evening/photo.ts';
import { capital } from '../../lib/format.ts';
import { addPhoto, deletePhoto, photoPath } from '../../stores/study/photo-actions.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';

type Entry = CookDetail['run'][number];

/** Photos of a pizza from above and of its base: taken here with tablet or phone, a tap shows one large. */
export function Photos({ cookId, entry: { pizza, photos } }: { cookId: number; entry: Entry }): JSX.Element {
  return (
    <div class="photos">
      {photos.map((photo) => (
        <figure key={photo.id}>
          <a href={photoPath(cookId, photo.id)} target="_blank">
            <img
              src={photoPath(cookId, photo.id)}
              alt={`${capital(photo.part)} of ${pizza.name || 'this pizza'}`}
              loading="lazy"
              data-testid="photo"
            />
          </a>
          <Button
            look="plain"
            aria-label={`Delete the photo of the ${photo.part} of ${pizza.name}`}
            data-testid="delete-photo"
            onClick={() => void deletePhoto(cookId, pizza.id, photo)}
          >
            <RareIcon name="bin" />
          </Button>
        </figure>
      ))}
      {photos.length < MAX_PHOTOS_OF_PIZZA &&
        PHOTO_PARTS.map((part) => <TakePhoto key={part} cookId={cookId} pizza={pizza.id} part={part} />)}
    </div>
  );
}

function TakePhoto({ cookId, pizza, part }: { cookId: number; pizza: string; part: PhotoPart }): JSX.Element {
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (file) await addPhoto(cookId, pizza, part, file);
    input.value = '';
  };
  return (
    <label class="button file">
      <RareIcon name="camera" /> {capital(part)}
      <input
        type="file"
        accept="image/*"
        capture="environment"
        aria-label={`Photo of the ${part}`}
        data-testid={`take-${part}`}
        onChange={(event) => void take(event.currentTarget)}
      />
    </label>
  );
}

/** What page and worker say to each other about pictures: reading them, and laying them on the plate. */
import type { Crop } from './protocol';

/** Width and height. */
export type Size = [number, number];

/** A picture as lightness, a byte a pixel; without a part it is the whole picture. */
export interface Tones { width: number; height: number; lightness: Uint8Array<ArrayBuffer>; part?: Crop }

/** A picture file as it is first taken. */
export interface WholePicture {
  /** Size of the file's picture, upright. */
  file_px: Size;
  width: number; height: number; lightness: Uint8Array<ArrayBuffer>;
  /** In colour, to be shown small. */
  shown: ImageData;
  /** For the widest crop on a plate, where that is finer than the whole. */
  closer: { crop: Crop; tones: Tones } | null;
  said: string | null;
}

export type PictureRequest =
  | { do: 'read_picture'; file: Blob; name: string; room_px: Size; plate_mm: Size } // -> WholePicture; refuses with a sentence for the user
  | { do: 'read_part'; file: Blob; file_px: Size; crop: Crop }      // -> { tones } as fine as the crop asks for; null where the whole is as fine
  | { do: 'crop_at'; picture_px: Size; plate_mm: Size; middle: [number, number]; width: number } // -> { crop }, the nearest that lies in the picture
  | { do: 'crop_fitted'; picture_px: Size; plate_mm: Size; crop: Crop; before_mm: Size } // -> { crop }, as close as it was on the plate before
  | { do: 'crop_within'; crop: Crop; part: Crop }                   // -> { crop } of the whole
  | { do: 'crop_of_lines'; lines_px: Size; picture_px: Size; crop: Crop; plate_mm: Size } // -> { crop }
  | { do: 'crop_fits'; picture_px: Size; plate_mm: Size; crop: Crop; closely: boolean } // -> { fits }
  | { do: 'widest_width'; picture_px: Size; plate_mm: Size }        // -> { width }
  | { do: 'plate_like_picture'; picture_px: Size; plate_mm: Size }; // -> { plate_mm }

export interface PictureAnswers {
  read_picture: WholePicture;
  read_part: { tones: Tones | null };
  crop_at: { crop: Crop };
  crop_fitted: { crop: Crop };
  crop_within: { crop: Crop };
  crop_of_lines: { crop: Crop };
  crop_fits: { fits: boolean };
  widest_width: { width: number };
  plate_like_picture: { plate_mm: Size };
}

/**
 * A picture file -> a bitmap to look at closely and an address of a plainer copy to lay under the drawing. What is shown is
 * always the page's own copy of the decoded pixels: nothing of the file itself ever reaches the page.
 */
import { largestPicture, readPictureHeader } from '../../readings/pictureFile.ts';
import { refuse, type Result } from '../../result.ts';

export interface OpenPicture {
  /** px, as seen: turned the way the camera says. */
  readonly width: number;
  readonly height: number;
  readonly bitmap: ImageBitmap;
  readonly url: string;
  /** Gives back the memory. */
  close(): void;
}

/** px. Longer side of the copy under the drawing: finer than any screen shows, and a quarter of the memory of a large photo. */
const copySide = 4096;

export async function openPicture(file: Blob, name: string): Promise<Result<OpenPicture>> {
  if (file.size > largestPicture.bytes) return refuse({ code: 'picture-too-large', at: name, message: `Expected a picture of at most ${largestPicture.bytes / 2 ** 20} MB, got ${(file.size / 2 ** 20).toFixed(0)} MB.`, hint: 'Save it as JPEG, or at a smaller size.' });
  const header = readPictureHeader(new Uint8Array(await file.arrayBuffer()), name, file.type);
  if (!header.ok) return header;
  try {
    const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
    const url = URL.createObjectURL(await copyOf(bitmap));
    return {
      ok: true,
      value: {
        width: bitmap.width,
        height: bitmap.height,
        bitmap,
        url,
        close() {
          bitmap.close();
          URL.revokeObjectURL(url);
        },
      },
    };
  } catch {
    return refuse({ code: 'picture-broken', at: name, message: `Expected a whole ${header.value.kind} picture; this one cannot be decoded.`, hint: 'Open it in a picture program and save it again, or take it from the camera once more.' });
  }
}

async function copyOf(bitmap: ImageBitmap): Promise<Blob> {
  const k = Math.min(1, copySide / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(bitmap.width * k));
  canvas.height = Math.max(1, Math.round(bitmap.height * k));
  const pen = canvas.getContext('2d');
  if (pen === null) throw new Error('no canvas');
  // Glass under whatever is see-through.
  pen.fillStyle = '#fff';
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.imageSmoothingQuality = 'high';
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no copy'))), 'image/jpeg', 0.92));
}

/**
 * Lays a picture under the drawing: the map from its pixels to the board, and the board's own view, as one transform of an
 * <img>. The browser's compositor draws any tilt truly, and moving the view costs nothing.
 */
import { after, depthAt, type Homography } from '../../maths/homography.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { BoardPicture } from './content.ts';

/** `centre` of the view in the board's coordinates; `scale` in CSS px to a unit; `size` of the sheet in CSS px. */
export function placePicture(image: HTMLImageElement, picture: BoardPicture | null, centre: Vec2, scale: number, size: Vec2): void {
  image.hidden = picture === null;
  if (picture === null) return;
  if (image.src !== picture.url) image.src = picture.url;
  // Its size is not known before it is loaded; the board places it again then.
  if (image.naturalWidth === 0) return;
  const view: Homography = [scale, 0, size[0] / 2 - centre[0] * scale, 0, -scale, size[1] / 2 + centre[1] * scale, 0, 0, 1];
  const shrunk: Homography = [picture.width / image.naturalWidth, 0, 0, 0, picture.height / image.naturalHeight, 0, 0, 0, 1];
  const whole = after(view, after(picture.toBoard, shrunk));
  const w = depthAt(whole, [image.naturalWidth / 2, image.naturalHeight / 2]);
  const [a, b, c, d, e, f, g, h, i] = whole.map((v) => v / w) as unknown as Homography;
  image.style.transform = `matrix3d(${[a, d, 0, g, b, e, 0, h, 0, 0, 1, 0, c, f, 0, i].map((v) => Number(v.toPrecision(12))).join(',')})`;
  image.style.opacity = String(picture.strength);
}

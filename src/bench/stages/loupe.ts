/** A loupe over the board: the picture at full detail round one point, six times as large as it is seen, with a cross. */
import type { Vec2 } from '../../maths/vec.ts';
import { h } from '../dom.ts';

/** CSS px. */
const side = 152;
/** CSS px between the point and the loupe's edge, so that a finger does not cover it. */
const away = 34;
const times = 6;
/** CSS px to a px of the picture: beyond this there is nothing more to see. */
const most = 14;

export interface Loupe {
  /** `px` of the picture, `at` on the sheet in CSS px, `scale` in CSS px to a px of the picture as now seen. */
  show(bitmap: ImageBitmap, px: Vec2, at: Vec2, scale: number): void;
  hide(): void;
}

export function makeLoupe(sheet: HTMLElement): Loupe {
  const fine = Math.min(3, Math.max(1, window.devicePixelRatio));
  const canvas = h('canvas', { class: 'loupe', width: Math.round(side * fine), height: Math.round(side * fine), hidden: true, 'aria-hidden': 'true' });
  sheet.append(canvas);
  const pen = canvas.getContext('2d');
  return {
    show(bitmap, px, at, scale) {
      if (pen === null) return;
      canvas.hidden = false;
      const [w, hgt] = [sheet.clientWidth, sheet.clientHeight];
      // Above the point, to the side with more room; below it when there is none above.
      const left = at[0] < w / 2 ? at[0] + away : at[0] - away - side;
      const top = at[1] - away - side >= 0 ? at[1] - away - side : at[1] + away;
      canvas.style.transform = `translate(${Math.round(Math.min(Math.max(4, left), w - side - 4))}px, ${Math.round(Math.min(Math.max(4, top), hgt - side - 4))}px)`;
      const k = Math.min(scale * times, most) * fine;
      const seen = canvas.width / k;
      pen.fillStyle = getComputedStyle(canvas).backgroundColor;
      pen.fillRect(0, 0, canvas.width, canvas.height);
      // Single pixels are shown as such once they are large.
      pen.imageSmoothingEnabled = k < 4 * fine;
      pen.imageSmoothingQuality = 'high';
      pen.drawImage(bitmap, px[0] - seen / 2, px[1] - seen / 2, seen, seen, 0, 0, canvas.width, canvas.height);
      cross(pen, canvas.width, fine);
    },
    hide() {
      canvas.hidden = true;
    },
  };
}

/** Dark with a light rim, so that it stands out on any picture; open in the middle, where one looks. */
function cross(pen: CanvasRenderingContext2D, size: number, fine: number): void {
  const [c, gap, arm] = [size / 2, 7 * fine, size / 2];
  for (const [width, ink] of [[3.5, '#fffd'], [1.4, '#1c1208']] as const) {
    pen.beginPath();
    for (const way of [-1, 1]) {
      pen.moveTo(c + way * gap, c);
      pen.lineTo(c + way * arm, c);
      pen.moveTo(c, c + way * gap);
      pen.lineTo(c, c + way * arm);
    }
    pen.moveTo(c + 1.2 * fine, c);
    pen.arc(c, c, 1.2 * fine, 0, 2 * Math.PI);
    pen.lineWidth = width * fine;
    pen.strokeStyle = ink;
    pen.stroke();
  }
}

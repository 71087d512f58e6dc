/** Job + plan of the part + law of the print -> ProofPlan. Every piece asked for, or every reason why not, at once. */
import type { Job } from '../job/schema.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { bedOf } from './bed.ts';
import { holeBar, squareFrame } from './coupons.ts';
import { leftUncorrected, type PrintLaw } from './law.ts';
import { proofShop, refusal, type JoinedReadings, type PiecePlan, type ProofPlan, type ProofShop } from './proofPlan.ts';
import { ribPieces } from './ribPieces.ts';
import { ringPieces } from './ringPieces.ts';
import { wholePieces, type Pieces } from './wholePieces.ts';

export function planProof(job: Job, plan: SolidPlan, law: PrintLaw): Result<ProofPlan> {
  const { proof } = job;
  const bed = bedOf(proof);
  const issues = thinJoints(job, plan);
  if (Math.min(bed.x, bed.y) <= 0) issues.push(refusal('proof-no-bed', 'proof.bedMargin', `A margin of ${proof.bedMargin} mm leaves nothing of the bed.`, 'State a smaller margin.'));
  const pinHole = law.hole(proof.pin + proof.pinClearance);
  if (!pinHole.ok) issues.push(...pinHole.issues.map((one) => ({ ...one, at: 'proof.pin' })));
  if (issues.length > 0 || !pinHole.ok) return refuse(...issues);
  const shop = proofShop(job, plan, law, bed, pinHole.value);
  const single = (make: (shop: ProofShop) => Result<PiecePlan>) => (): Result<Pieces> => {
    const made = make(shop);
    return made.ok ? ok({ pieces: [made.value], joined: [] }) : made;
  };
  const wanted: readonly (readonly [boolean, () => Result<Pieces>])[] = [
    [proof.whole, () => wholePieces(shop)],
    [proof.ring && plan.tabs.length > 0, () => ringPieces(shop)],
    [proof.ribs, () => ribPieces(shop)],
    [proof.holeBar, single(holeBar)],
    [proof.square, single(squareFrame)],
  ];
  const pieces: PiecePlan[] = [];
  const joined: JoinedReadings[] = [];
  for (const [asked, make] of wanted) {
    if (!asked) continue;
    const made = make();
    if (!made.ok) issues.push(...made.issues);
    else {
      pieces.push(...made.value.pieces);
      joined.push(...made.value.joined);
    }
  }
  if (issues.length > 0) return refuse(...issues);
  if (pieces.length === 0) return refuse(refusal('proof-nothing', 'proof', 'Every kind of piece is turned off: there is nothing to print.', 'Turn one of proof.whole, proof.ring, proof.ribs, proof.holeBar or proof.square on.'));
  return ok({ pieces, joined, notes: [...leftUncorrected(law), ...(law.profile?.notes ?? []), ...shop.notes] });
}

/** Joints need something to bite into. */
function thinJoints({ proof }: Job, { body }: SolidPlan): Issue[] {
  if (proof.jointClearance < proof.lapThickness && proof.pin < proof.lap / 2) return [];
  if (proof.pin >= proof.lap / 2) return [refusal('proof-pin-too-thick', 'proof.pin', `A pin of ${proof.pin} mm does not fit a lap of ${proof.lap} mm.`, `State a pin under ${proof.lap / 2} mm or a longer lap.`)];
  return [refusal('proof-gap-too-wide', 'proof.jointClearance', `A clearance of ${proof.jointClearance} mm is no less than the strap, ${proof.lapThickness} mm, over a skin of ${body.skin} mm.`, 'State a smaller clearance.')];
}

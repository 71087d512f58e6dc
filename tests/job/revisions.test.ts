/** Revisions: letters, hashes, freezing and thawing. */
import { describe, expect, test } from 'vitest';
import { readDocument } from '../../src/job/read.ts';
import { canonical, contentHash, freeze, hashOf, nextRevision, thaw } from '../../src/job/revisions.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { unwrap } from '../../src/result.ts';

const document = { coverwright: 1, body: { width: '1 5/8in', skin: 3 }, trace: { points: [[0, 20], [20, 25], [40, 27], [60, 25], [80, 20]] } } as unknown as JobDocument;

test('letters run without I O Q S X Z, then in pairs', () => {
  expect(['A', 'H', 'N', 'P', 'R', 'W', 'Y', 'AA', 'AY', 'YY', 'I', ''].map(nextRevision)).toEqual(['B', 'J', 'P', 'R', 'T', 'Y', 'AA', 'AB', 'BA', null, null, null]);
});

describe('hashes', () => {
  // SHA-256 of "abc" as FIPS 180-4 prints it (from memory): ba7816bf..., here through the JSON string "abc" less its quotes.
  test('are SHA-256 of ordered JSON', async () => {
    const { createHash } = await import('node:crypto');
    expect(hashOf({ b: 1, a: [true, null, 'x'] })).toBe(createHash('sha256').update('{"a":[true,null,"x"],"b":1}').digest('hex'));
  });
  test('do not see layout or order, do see a digit', () => {
    const shuffled = JSON.parse(JSON.stringify({ trace: document.trace, body: { skin: 3, width: '1 5/8in' }, coverwright: 1 })) as JobDocument;
    expect(contentHash(shuffled)).toBe(contentHash(document));
    expect(contentHash({ ...document, body: { ...document.body, skin: 3.001 } })).not.toBe(contentHash(document));
    expect(canonical({ b: undefined, a: 1 })).toBe('{"a":1}');
  });
});

describe('freezing', () => {
  const changes = [{ path: 'body.skin', from: 3, to: 3.2, why: 'Too thin.' }];
  const next = unwrap(freeze(document, { ...document, body: { ...document.body, skin: 3.2 } } as JobDocument, changes, 'Skin too thin.'));

  test('the next revision holds the old one whole, and reads as a job', () => {
    const file = unwrap(readDocument(JSON.parse(JSON.stringify(next))));
    expect(file.job.revision).toBe('B');
    expect(file.job.body.skin).toBe(3.2);
    expect(file.job.revisions[0]).toMatchObject({ revision: 'A', hash: contentHash(document), changes });
    const old = unwrap(thaw(file.document, 'A'));
    expect(old.document).toEqual(document);
    expect(old.job.body.skin).toBe(3);
  });

  test('a second freezing does not nest the first', () => {
    const third = unwrap(freeze(next, next, [], ''));
    expect(third.revision).toBe('C');
    expect(third.revisions).toHaveLength(2);
    expect(JSON.stringify(third.revisions![1])).not.toContain('"revisions"');
  });

  test('an altered or missing revision is refused with the cure', () => {
    const altered = { ...next, revisions: [{ ...next.revisions![0]!, document: { ...document, title: 'Other' } }] } as JobDocument;
    const bad = thaw(altered, 'A');
    expect(bad.ok ? '' : bad.issues[0]!.code).toBe('revision-altered');
    const missing = thaw(next, 'C');
    expect(missing.ok ? '' : missing.issues[0]!.hint).toContain('Frozen here: A');
  });
});

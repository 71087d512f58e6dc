export interface FairFlags { readonly out?: string }
export async function runFair(_readings: string, _flags: FairFlags): Promise<number> { throw new Error('not yet'); }

/** The version of the package, baked in when it is built. */
import manifest from '../../package.json' with { type: 'json' };

export const version: string = manifest.version;

/** What a worker says whose memory could not grow; browsers word it in their own ways where it could not even be started. */
export const OUT_OF_MEMORY = 'out of memory';

/** Whether a worker broke for want of memory. */
export const wantsMemory = (words: string): boolean => /out of memory|allocation failed/i.test(words);

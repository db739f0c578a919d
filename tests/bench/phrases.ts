/** Where phrases end: the table beside two published rules, and how the model does on songs that were left out. */
import { printLeftOut } from './phrase-left-out';
import { printPhraseTable } from './phrase-table';

await printPhraseTable();
await printLeftOut();

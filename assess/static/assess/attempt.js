/** What a page of an attempt loads. Without it every form posts and comes back. */
import { keepScratchMarks, offerMarks } from './marking.js';
import { saveAsYouGo } from './saving.js';
import { swapParts } from './swapping.js';

keepScratchMarks();
saveAsYouGo();
swapParts();
offerMarks();

/** What a page of an attempt loads. Without it every form posts and comes back. */
import './ordering.js';
import { tellLettersLeft } from './letters.js';
import { keepScratchMarks, offerMarks } from './marking.js';
import { saveAsYouGo } from './saving.js';
import { swapParts } from './swapping.js';

keepScratchMarks();
saveAsYouGo();
swapParts();
tellLettersLeft();
offerMarks();

import { searchWords } from "../words.ts";
import { defineSearch } from "./search.ts";

// What a search form becomes once somebody uses it. It lies beside the index as `pack/box.js`: a page is read without it.
defineSearch(searchWords);

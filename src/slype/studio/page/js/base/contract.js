/**
 * What the program and this page say to each other. Written by docs/make_contract.py from studio/told/: change it
 * there. Only types; nothing here runs.
 */

/**
 * A part of a figure, why it is there and on whose word.
 * @typedef {object} PartTold
 * @property {string} name
 * @property {string} value
 * @property {string} why
 * @property {string} source
 */

/**
 * One figure, ready to show, with the parts it opens into.
 * @typedef {object} Number
 * @property {string} name
 * @property {string} value
 * @property {Array<PartTold>} parts
 * @property {string} note
 */

/**
 * A list of figures under a heading.
 * @typedef {object} List
 * @property {string} key
 * @property {string} title
 * @property {Array<Number>} numbers
 * @property {string} note
 */

/**
 * One thing that may be chosen: its key in the file, its name in the design's wording, and what it is.
 * @typedef {object} Choice
 * @property {string} key
 * @property {string} name
 * @property {string} help
 * @property {string} group
 */

/**
 * One remark of the advice; `changes` would apply its remedy (none: the maker has to choose).
 * @typedef {object} FindingTold
 * @property {string} weight
 * @property {string} grave
 * @property {string} rule
 * @property {string} where
 * @property {number | null} band
 * @property {string} message
 * @property {string} why
 * @property {string} remedy
 * @property {string} source
 * @property {Array<any>} changes
 */

/**
 * A caution for whoever makes this basket.
 * @typedef {object} CautionTold
 * @property {string} title
 * @property {string} text
 */

/**
 * A point of the wall as the file has it: mm above the base, length and width there (alike where round).
 * @typedef {object} WallPoint
 * @property {number} height_mm
 * @property {Array<number>} across_mm
 */

/**
 * The outline from the side. `profile` rows are height, length and width in mm, from the base up.
 * @typedef {object} FormTold
 * @property {string} outline
 * @property {Array<number>} base_mm
 * @property {Array<WallPoint>} points
 * @property {Array<Array<number>>} profile
 * @property {number} top_mm
 * @property {Array<Number>} spacing
 * @property {number | null} long_sticks
 */

/**
 * One band; `reach` how wide it leaves a base or how high a side; `why` its colours do what `effect` says; `colours` of each weaver's reeds, bottom to top; `swap` how many spaces on its upright lines change colours, 0 where it has none; `share` of all heights, from 0 to 1.
 * @typedef {object} BandTold
 * @property {number} index
 * @property {string} where
 * @property {string} title
 * @property {string} weave
 * @property {number} rows
 * @property {string} height
 * @property {string} reach
 * @property {string} reed
 * @property {string} stroke
 * @property {number} weavers
 * @property {number} strands
 * @property {Array<Array<string>>} colours
 * @property {string} effect
 * @property {string} why
 * @property {number} swap
 * @property {number} start
 * @property {number} spaces
 * @property {number} share
 */

/**
 * Everything the page shows of one basket but its picture. `relaxed`: from reeds at rest, else from stacked rows; `unsettled`: what did not come to rest, "" where all did; `lid_bands`: those of its lid, if it has one; `stop`: why no hands could weave it, else None.
 * @typedef {object} Look
 * @property {boolean} relaxed
 * @property {string} unsettled
 * @property {Array<Number>} size
 * @property {FormTold} form
 * @property {Array<BandTold>} bands
 * @property {Array<BandTold>} lid_bands
 * @property {Number} border
 * @property {Array<List>} needs
 * @property {Array<FindingTold>} watch
 * @property {string | null} stop
 * @property {Array<CautionTold>} cautions
 * @property {string} whence
 * @property {Object<string, string>} palette
 */

/**
 * What is wrong, where, and what would be right.
 * @typedef {object} Trouble
 * @property {string} message
 * @property {string} where
 * @property {string} remedy
 */

/**
 * The file on disk is no longer what was last read or written here; `readable` where it is a design.
 * @typedef {object} Conflict
 * @property {string} message
 * @property {boolean} readable
 */

/**
 * One basket on the bench. `document` is its file as written, as JSON; `look` None while no hands could weave it (`trouble` then says why, and `form` is its outline); `notes` what else the last change moved. `kit` of a class, which has no look; else None.
 * @typedef {object} State
 * @property {string} id
 * @property {number} revision
 * @property {string} title
 * @property {string | null} path
 * @property {string} place
 * @property {boolean} saved
 * @property {Conflict | null} conflict
 * @property {string | null} undo
 * @property {string | null} redo
 * @property {Object<string, any>} document
 * @property {Look | null} look
 * @property {FormTold | null} form
 * @property {Trouble | null} trouble
 * @property {Array<string>} notes
 * @property {ClassTold | null} kit
 */

/**
 * A stretch of the work: `part` what it is, `of` whose ("foot", "lid" or empty), its `band` from 0 where it has one, its `first` and `last` moment, counted from 1.
 * @typedef {object} PartOfWork
 * @property {string} part
 * @property {string} of
 * @property {number | null} band
 * @property {string} title
 * @property {number} first
 * @property {number} last
 */

/**
 * The order of work for the player: for each of so many `moments` a sentence, and from where it is looked at, whole degrees: `around` the basket, counterclockwise from above, 0 from the near side, and `up` above the table.
 * @typedef {object} MomentsTold
 * @property {number} moments
 * @property {Array<PartOfWork>} parts
 * @property {Array<string>} words
 * @property {Array<number>} around
 * @property {Array<number>} up
 */

/**
 * A colour of the design and what a seat wears in its place, with the sight of it.
 * @typedef {object} ColourWorn
 * @property {string} of
 * @property {string} worn
 * @property {string} hex
 */

/**
 * One bundle of a kit: its number, what it is, what goes in, and what its length is made of.
 * @typedef {object} BundleTold
 * @property {string} number
 * @property {string} what
 * @property {string} goes
 * @property {Array<PartTold>} parts
 */

/**
 * One seat of a class. `row` is its place among the file's students, None where it is not written there one by one; `works` False where its basket cannot be woven; `faults` what is wrong in its row, also of a roster beside.
 * @typedef {object} SeatTold
 * @property {number} number
 * @property {number | null} row
 * @property {string} name
 * @property {string} hand
 * @property {string} wording
 * @property {string} units
 * @property {string} skill
 * @property {string} design
 * @property {string} size
 * @property {boolean} spare
 * @property {Array<ColourWorn>} colours
 * @property {Array<BundleTold>} bundles
 * @property {boolean} works
 * @property {Array<string>} faults
 */

/**
 * Something to be told of a class; `path` of the field it is about, in the class file, empty where it has none.
 * @typedef {object} RemarkTold
 * @property {string} weight
 * @property {string} grave
 * @property {string} where
 * @property {string} message
 * @property {string} remedy
 * @property {Array<any>} path
 */

/**
 * A figure that may be slid to and fro, with its bounds.
 * @typedef {object} SlideTold
 * @property {string} key
 * @property {string} label
 * @property {number} value
 * @property {number} low
 * @property {number} high
 * @property {number} step
 */

/**
 * A block of a pane: `kind` heading, lines, quiet, facts, table or picture; `text` of a heading, or what a picture shows; `rows` of facts and tables, whose columns in `right` stand to the right; `opens[i]` what row i opens into, as [name, value, why].
 * @typedef {object} BlockTold
 * @property {string} kind
 * @property {string} text
 * @property {Array<string>} lines
 * @property {Array<string>} head
 * @property {Array<Array<string>>} rows
 * @property {Array<number>} right
 * @property {string} svg
 * @property {Array<Array<Array<string>>>} opens
 */

/**
 * One side of what a class needs.
 * @typedef {object} PaneTold
 * @property {string} key
 * @property {string} title
 * @property {Array<SlideTold>} slides
 * @property {Array<BlockTold>} blocks
 */

/**
 * A file that is made when it is asked for: the `kind` of paper, its `query`, and what it is called.
 * @typedef {object} TakeAway
 * @property {string} kind
 * @property {string} query
 * @property {string} words
 * @property {string} group
 */

/**
 * Everything the page shows of a class. `beside` the lists that lie beside the file, by their key; `dyes`, `skills` what may be chosen; `woven` colours of its designs; `near` the designs that lie beside it; `papers` to take away; `wording` that of its first seat, for the page's own words; `settled` whether its baskets lie at rest.
 * @typedef {object} ClassTold
 * @property {string} title
 * @property {Array<string>} designs
 * @property {Array<SeatTold>} seats
 * @property {Object<string, string>} beside
 * @property {Array<PaneTold>} panes
 * @property {Array<RemarkTold>} watch
 * @property {Array<Choice>} dyes
 * @property {Array<string>} woven
 * @property {Array<string>} near
 * @property {Array<TakeAway>} papers
 * @property {string} wording
 * @property {boolean} settled
 */

/**
 * What a thing is like when it is first added: as the file has it, why, and on whose word.
 * @typedef {object} FirstTold
 * @property {any} value
 * @property {string} why
 * @property {string} source
 */

/**
 * A key of the file: what the page calls it (`label`, empty where it has a field of its own), what it `takes`, and what may be chosen, where that has names.
 * @typedef {object} KeyTold
 * @property {string} label
 * @property {string} takes
 * @property {string} help
 * @property {Array<Choice>} choices
 */

/**
 * What may be written in a design file, from slype's own tables in one wording; `firsts` by what is added, `moves` the rows of every border by its name, `feet` borders for below, `handle_counts` how many alike a basket has where it does not say, `words` the trade's terms for sentences of the page.
 * @typedef {object} Tables
 * @property {Array<Choice>} weaves
 * @property {Array<Choice>} reeds
 * @property {Array<Choice>} borders
 * @property {Array<Choice>} feet
 * @property {Object<string, Array<string>>} moves
 * @property {Array<Choice>} bases
 * @property {Array<Choice>} handles
 * @property {Object<string, number>} handle_counts
 * @property {Array<Choice>} outlines
 * @property {Array<Choice>} seats
 * @property {Array<Object<string, string>>} colours
 * @property {Object<string, FirstTold>} firsts
 * @property {Object<string, KeyTold>} keys
 * @property {Object<string, string>} words
 */

/**
 * A file in a folder that was opened, or what was left on the bench: `kind` "basket" or "class".
 * @typedef {object} Opened
 * @property {string} name
 * @property {string | null} path
 * @property {string | null} id
 * @property {string} note
 * @property {string} kind
 */

/**
 * What the page is told first. `webgl` is for the page to find out.
 * @typedef {object} Hello
 * @property {string} version
 * @property {Array<string>} folders
 * @property {Array<Opened>} bench
 * @property {Array<Opened>} files
 * @property {Array<Opened>} examples
 */

/**
 * A field of a form of the book: `kind` text, choice (of `choices`: value and words), lines for several of them, or fold, under whose label the fields after it are folded away; `hint` stands below it.
 * @typedef {object} FieldTold
 * @property {string} name
 * @property {string} label
 * @property {string} kind
 * @property {string} value
 * @property {Array<Array<string>>} choices
 * @property {string} hint
 */

/**
 * Something that a button does to the book: `act` of the program, with `fields` it hands over.
 * @typedef {object} ActTold
 * @property {string} act
 * @property {string} label
 * @property {Object<string, string>} fields
 */

/**
 * A part of a pane of the book: a heading, lines, a table (`acts` a list for each row), buttons (`acts`, one list) or a form, by its `kind`.
 * @typedef {object} PartOfBook
 * @property {string} kind
 * @property {string} text
 * @property {Array<string>} lines
 * @property {Array<string>} head
 * @property {Array<Array<string>>} rows
 * @property {Array<number>} right
 * @property {Array<Array<ActTold>>} acts
 * @property {Array<FieldTold>} form
 * @property {ActTold | null} button
 */

/**
 * One pane of the book, ready to show.
 * @typedef {object} PaneOfBook
 * @property {string} key
 * @property {string} title
 * @property {Array<PartOfBook>} parts
 */

/**
 * The maker's book as the page shows it; `basket` the title of the one on the bench, empty where none is; `maker` whose measure and `year` which accounts it shows, empty for one's own and for this one; `kept` baskets made, as [id, words].
 * @typedef {object} BookTold
 * @property {string} place
 * @property {string} basket
 * @property {string} units
 * @property {string} maker
 * @property {string} year
 * @property {Array<Array<string>>} kept
 * @property {Array<PaneOfBook>} panes
 */

/**
 * What a photograph was asked: the answer in words, and whether it can be relied on.
 * @typedef {object} MeasuredTold
 * @property {string} said
 * @property {boolean} sure
 */

/**
 * What came of something done to the book: `news` in words, the `book` anew, `changes` for the basket on the bench, and what was `found` for a question that changes nothing.
 * @typedef {object} BookAnswer
 * @property {string} news
 * @property {BookTold} book
 * @property {Array<any>} changes
 * @property {Array<PartOfBook>} found
 */

export {};

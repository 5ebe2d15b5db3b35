"""How much of anything the server takes at once. Numbers only."""

MOST_ENTRIES = 500  # in one request and in one answer
MOST_WHOLE = 5_000  # jobs that a phone may hold whole
MOST_TO_BRING = 20  # jobs that it may ask for in one request
MOST_BROUGHT = 4_000_000  # characters of such jobs in one answer, or one job of any size
MOST_LINES = 2_000  # of jobs in one answer
MOST_LINES_DERIVED = 50  # for one answer: a phone waits for each to be read and folded, a millisecond or two
MOST_UNSENT = 1_000_000  # entries and photos that a phone may say it still has
LARGEST_ENTRIES_BODY = 16_000_000  # bytes; of MOST_CHARACTERS_SENT at most three each, and one entry more
LARGEST_PAIR_BODY = 1_000  # bytes
LARGEST_ENTRY = 256_000  # bytes of one entry as JSON; a plan with its advice has about 5,000
DEEPEST_ENTRY = 32  # levels of objects and lists
LARGEST_PHOTO = 20_000_000  # bytes
LARGEST_IMPORT = 120_000_000  # bytes of a file from a phone that could not send, photos in it as base64
MOST_PIXELS = 50_000_000
MOST_PHOTOS_A_DAY = 2_000  # per pairing
LONGEST_PLATE = 100  # characters of a registration or a VIN, which has 17 (ISO 3779); with room for a remark
MOST_CHARACTERS_SENT = 4_000_000  # of JSON in one request: plans are large, and a body is refused as a whole
CONTACT_NOTED_MS = 60_000  # a phone that says nothing new is noted as seen once in so long
DAY_MS = 24 * 3600 * 1000
CLOCK_NOTICED_MS = 300_000  # a phone's clock that is wrong by less does not make a job sheet hard to read
OPEN_TOO_LONG_MS = 90 * DAY_MS  # an open job for which nothing came so long is named at the desk
KEPT_ON_PHONES_MS = 30 * DAY_MS  # how long after its last change a closed job still reaches the phones

"""How much of anything the server takes at once. Numbers only."""

MOST_ENTRIES = 500  # in one request and in one answer
MOST_UNSENT = 1_000_000  # entries and photos that a phone may say it still has
LARGEST_ENTRIES_BODY = 16_000_000  # bytes; a phone stops at four million characters, of three bytes at most
LARGEST_PAIR_BODY = 1_000  # bytes
LARGEST_ENTRY = 256_000  # bytes of one entry as JSON; a plan with its advice has about 5,000
DEEPEST_ENTRY = 32  # levels of objects and lists
LARGEST_PHOTO = 20_000_000  # bytes
LARGEST_IMPORT = 120_000_000  # bytes of a file from a phone that could not send, photos in it as base64
MOST_BODIES = 4  # on their way from one phone, one person signed in, or one stranger's address
MOST_BODIES_OF_STRANGERS = 16  # from all of them; the other threads are left to those whom the shop knows
MOST_PIXELS = 50_000_000
MOST_PHOTOS_A_DAY = 2_000  # per pairing
DAY_MS = 24 * 3600 * 1000
CLOCK_NOTICED_MS = 300_000  # a phone's clock that is wrong by less does not make a job sheet hard to read
KEPT_ON_PHONES_MS = 30 * DAY_MS  # how long after its last change a closed job still reaches the phones

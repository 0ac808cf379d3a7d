use crate::quantity::Grams;
use crate::stream::Stream;

use super::LotInBook;

/// What may be drawn: parts larvae leave are in the lot until they are picked out.
/// Where anything was picked out, the lot was sorted.
pub(super) fn edible(book: &LotInBook, stream: &Stream) -> Grams {
    if book.picked_out > Grams::ZERO {
        return book.remaining;
    }
    stream.edible_of(book.remaining, book.net)
}

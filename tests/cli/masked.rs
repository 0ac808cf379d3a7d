/// Digests of a book depend on ids made at random: their digits are masked at
/// equal width.
pub(crate) fn masked(text: &str) -> String {
    let mut parts = text.split("seal ");
    let mut told = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let digits = part.find(|seen: char| !seen.is_ascii_digit()).unwrap_or(0);
        let (record, rest) = part.split_at(digits);
        let end = rest.find(|seen: char| seen != '-' && !seen.is_ascii_hexdigit());
        let (digest, rest) = rest.split_at(end.unwrap_or(rest.len()));
        told.push_str("seal ");
        told.push_str(record);
        if digest.starts_with('-') {
            told.push_str(&digest.replace(|seen: char| seen != '-', "#"));
        } else {
            told.push_str(digest);
        }
        told.push_str(rest);
    }
    told
}

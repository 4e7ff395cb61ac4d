//! Compression for what is carried inside a page.

/// Compresses bytes as a raw DEFLATE stream (RFC 1951), as small as the library can.
pub(crate) fn deflated(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec(bytes, 10)
}

#[cfg(test)]
mod tests {
    use super::deflated;

    #[test]
    fn what_is_deflated_inflates_to_the_same() {
        let text = "down-bow, up-bow, ".repeat(400).into_bytes();
        let small = deflated(&text);
        assert!(small.len() < text.len() / 10);
        assert_eq!(
            miniz_oxide::inflate::decompress_to_vec(&small).ok(),
            Some(text)
        );
    }
}

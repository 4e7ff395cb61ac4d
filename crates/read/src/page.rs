//! The guide inside a page for students.

/// The id of the element that holds the guide in its saved form.
const GUIDE_ID: &str = "id=\"cueleaf-guide\"";

/// Takes the saved guide out of a page for students; `None` when it holds none.
/// The text is still to be read with `cueleaf_guide::open`.
#[must_use]
pub fn guide_in_page(page: &str) -> Option<&str> {
    let (_, after) = page.split_once(GUIDE_ID)?;
    let (_, inside) = after.split_once('>')?;
    let (saved, _) = inside.split_once("</script")?;
    Some(saved)
}

#[cfg(test)]
mod tests {
    use super::guide_in_page;

    #[test]
    fn the_guide_is_found_in_its_element() {
        let page = "<p>x</p><script type=\"application/json\" id=\"cueleaf-guide\">{}</script><p>";
        assert_eq!(guide_in_page(page), Some("{}"));
        assert_eq!(guide_in_page("<p>cueleaf-guide</p>"), None);
        assert_eq!(guide_in_page("<script id=\"cueleaf-guide\">{"), None);
    }
}

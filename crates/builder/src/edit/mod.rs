//! Edits: a document and what is asked for make another document. No screen, no
//! storage; what a text does not mean is a sentence for the teacher.

pub mod marks;
pub mod measures;
pub mod moving;
pub mod new_guide;
pub mod printed;
pub mod tempo;
pub mod tip_shows;
pub mod tips;
pub mod todos;

/// How far an edit of a stretch of measures reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reach {
    /// From the first chosen measure on, until something else is printed.
    #[default]
    Onward,
    /// The chosen measures only; after them everything is as it was.
    Chosen,
}

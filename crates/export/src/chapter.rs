//! The sections of a guide in the order in which they are played.

use cueleaf_guide::Guide;
use cueleaf_plan::Plan;
use cueleaf_view::{Page, section_name, sections};

/// A section that starts to be played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Chapter {
    /// The index in the order of play at which it starts.
    pub(crate) played: usize,
    /// Its name; from the second time on with the number of the time, "Trio (2)".
    pub(crate) name: String,
}

/// Lists the sections as they are played, in order; the first starts with the piece.
///
/// A repeat that goes back to the start of its section starts it anew; one that goes
/// back into the middle does not.
pub(crate) fn chapters(guide: &Guide, plan: &Plan) -> Vec<Chapter> {
    let words = Page::words_for(guide);
    let page = Page::new(guide, plan, &words);
    let sections = sections(&page);
    let mut times = vec![0_u32; sections.len()];
    let mut found = Vec::new();
    let mut now = None;
    let mut before = None;
    for (played, own) in plan.order().iter().enumerate() {
        let index = sections.partition_point(|section| section.last < own.measure);
        let came_back = before.is_some_and(|before| own.measure <= before);
        before = Some(own.measure);
        let Some(section) = sections.get(index) else {
            continue;
        };
        if now == Some(index) && !(came_back && own.measure == section.first) {
            continue;
        }
        now = Some(index);
        let Some(time) = times.get_mut(index) else {
            continue;
        };
        *time += 1;
        let name = section_name(&page, section);
        found.push(Chapter {
            played,
            name: match *time {
                1 => name,
                time => format!("{name} ({time})"),
            },
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Measure};

    #[test]
    fn a_repeat_of_a_section_is_a_chapter_and_one_inside_is_not() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "T");
        let mut measures: Vec<Measure> = (1..=6)
            .map(|number| Measure::labelled(&number.to_string()))
            .collect();
        measures[0].section = Some("A".to_owned());
        measures[1].repeat_back = Some(2);
        measures[2].section = Some("B".to_owned());
        measures[3].repeat_from = true;
        measures[4].repeat_back = Some(2);
        guide.road_map.measures = measures;
        let plan = Plan::new(&guide).value;
        let told: Vec<String> = chapters(&guide, &plan)
            .iter()
            .map(|chapter| format!("{} {}", chapter.played, chapter.name))
            .collect();
        assert_eq!(told, ["0 A", "2 A (2)", "4 B"]);
    }
}

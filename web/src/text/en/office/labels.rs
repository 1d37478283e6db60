//! English: the short fixed words of the office, and its technical words explained.

use crate::text::office::{Desk, Term};

/// The way from last year's spreadsheets to a page.
pub(super) const GUIDE: [&str; 7] = [
    "Save each sheet as \u{201c}CSV UTF-8\u{201d}: one row a trial (trials.csv), and one row a variety and trial (means.csv) or one row a plot (plots.csv). The blank files show the column names; any other file adds something and can wait. A file a season is fine: they are joined.",
    "Drop the files below. Give the network a name and a unit of yield.",
    "Put right what is listed: each problem has its row, and the row can be changed in place.",
    "Look at the trials. Leave out those that hail or a bad stand ruined; the dry ones are not the bad ones.",
    "Fit: a second or a few.",
    "Read the shortlists, and write your word where you differ from the rules.",
    "Save the page, open it, and hand it out: as a file, or as site.zip for a web server.",
];

/// One plain sentence for a technical word.
pub(super) fn term(term: Term) -> &'static str {
    match term {
        Term::Cv => {
            "CV, the coefficient of variation: the plots\u{2019} scatter in percent of the trial\u{2019}s mean; it rises where yields are low, even if the trial is no worse."
        }
        Term::ErrorMeanSquare => {
            "Error mean square: how much plots of one variety scatter within a trial, squared; it hardly depends on the yield."
        }
        Term::Sed => {
            "SED, the standard error of a difference: how far two means of the trial differ by chance alone."
        }
        Term::Water => {
            "Water: what the crop could use, stored, rained and irrigated; italic where the trial is in the driest third of its system."
        }
        Term::Group => {
            "Group: trials that share varieties, directly or through others, can be compared; another number means they cannot."
        }
        Term::Outlying => {
            "An outlying mean is one that everything else in the network says should have been quite different."
        }
        Term::Variance => {
            "Variance: how widely something varies, as a share of all that makes two means of one trial differ."
        }
        Term::Residual => {
            "A residual is what the fit cannot account for, in units of what it should be: squares average about 1 where all is well, 2 or more deserves a look."
        }
        Term::Influence => {
            "Each trial is left out in turn, at the variances of the whole fit, to see how much the head of the list hangs on it."
        }
        Term::Fit => {
            "Fitting finds how much of the differences is variety, water, site, season and chance, and from that what each variety is worth."
        }
        Term::Blup => "BLUP: a mean drawn towards the average the more, the fewer trials stand behind it.",
        Term::Lsd => "LSD: two means closer than this cannot be told apart, with 95 % confidence.",
    }
}

pub(super) fn desk(label: Desk) -> &'static str {
    files(label).or_else(|| looks(label)).or_else(|| lists(label)).unwrap_or_default()
}

fn files(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::Open => "For agronomists: put your own trials in this page",
        D::Title => "Your own network",
        D::Intro => {
            "From your files to a page you can hand out. Nothing leaves this computer; nothing has to be installed."
        }
        D::GuideHeading => "From last year\u{2019}s spreadsheets to a page in ten minutes",
        D::GuideDemo => "To see it work first, start from the network in this page.",
        D::Hosts => {
            "Any web server that serves plain files over https will do for site.zip: unpack it into one folder. Then test it as a grower would: open it once on a phone, switch to aeroplane mode, close and open it again."
        }
        D::Back => "Back to all varieties",
        D::FilesHeading => "1. Files",
        D::FilesChoose => "choose files",
        D::FilesDrop => {
            "or drop files or a folder anywhere here: CSV as a spreadsheet writes it, any of them, in any order. Last year\u{2019}s page or pack may come with them."
        }
        D::JoinRows => "put its rows behind those that are there",
        D::UseInstead => "use it in their place",
        D::Templates => "save blank files with every column explained",
        D::OpenThis => "start from the network in this page",
        D::OpenLast => "start from last year\u{2019}s network",
        D::Clear => "put all of this away",
        D::ClearHint => "Forgets the files, answers and rules here and on this device.",
        D::Kept => {
            "Kept on this device until you put it away. On a file from a folder, other pages of this computer could read it."
        }
        D::KeptElsewhere => {
            "Not saved on this device: another tab has kept its own network since. Save the files here, or load this page again to go on with the other tab\u{2019}s."
        }
        D::NotKept => {
            "Not saved on this device: this browser keeps nothing here. Save the files before you close the page."
        }
        D::Remove => "take out",
        D::NameHeading => "2. The network",
        D::NameIntro => "What the page says of itself. Name and unit of yield are needed.",
        D::WhichFile => "It is",
        D::NotUsed => "not used",
        D::Explain => "What each file and column is for",
        D::Needed => "needed",
        D::ProblemsHeading => "3. What to put right",
        D::NoProblems => "Nothing to put right.",
        D::Reading => "Reading\u{2026}",
        D::ReadFailed => "The files could not be read on this device. Try fewer, or another browser.",
        D::Jump => "put it right",
        D::FixHeading => "Change what is wrong; the rest of the file stays as it is.",
        D::FixDone => "put it back",
        D::FixRemove => "remove this row",
        D::FixLeave => "leave it as it was",
        D::WarningsHeading => "Worth knowing; it stops nothing",
        D::NotesHeading => "How your files are written",
        _ => return None,
    })
}

fn looks(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::LookHeading => "4. Look at the trials",
        D::LookIntro => {
            "Leave out a trial only for what happened to it, never for its numbers alone. What you leave out is listed on the page with its reason."
        }
        D::Trial => "trial",
        D::Entries => "entries",
        D::Mean => "mean",
        D::Cv => "CV %",
        D::ErrorMs => "error mean square",
        D::Sed => "SED",
        D::Water => "water",
        D::Disease => "disease",
        D::Group => "group",
        D::Counts => "counts",
        D::CountsYes => "yes",
        D::ExcludeDrought => "no: lost to drought",
        D::ExcludeHail => "no: hail",
        D::ExcludeStand => "no: poor stand",
        D::ExcludeOther => "no: another reason",
        D::Words => "What the words mean",
        D::FitHeading => "5. Fit",
        D::FitIntro => "Takes a second or a few, off the screen; you can go on meanwhile.",
        D::FitButton => "fit",
        D::FitAgain => "fit again",
        D::Fitting => "Fitting\u{2026}",
        D::Stop => "stop",
        D::Stopped => "Stopped. Nothing was changed.",
        D::Stale => "The files have changed since this fit.",
        D::SharesHeading => "Where differences come from",
        D::SharesPicture => "Shares of the variance of a difference between two means",
        D::LeftOutHeading => "What was left out or assumed",
        D::OutlyingHeading => "Means that stand out",
        D::NoOutlying => "No mean stands out from the rest.",
        D::ResidualsHeading => "What the fit leaves over",
        D::ResidualTrials => "Trials",
        D::ResidualVarieties => "Varieties",
        D::InfluenceHeading => "What the head of the list hangs on",
        D::InfluenceRunning => "Leaving out one trial after another\u{2026}",
        D::InfluenceTooLarge => "There are too many trials to leave them out one by one here.",
        D::MovedHeading => "What moved since the fit before",
        D::NothingMoved => "No variety changed its place.",
        D::MovedLater => "Fit once, and what a trial moves is told here at once.",
        D::TrackHeading => "Track record",
        D::TrackButton => "work out past seasons from those before them",
        D::TrackRunning => "Working through the past seasons\u{2026}",
        D::TrackFailed => "There are too few seasons to check, or the check was stopped.",
        _ => return None,
    })
}

fn lists(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::ListHeading => "6. Shortlists",
        D::Sideways => "The table goes on to the right: slide it.",
        D::ListIntro => {
            "The rules decide where a variety stands; your word, where you give one, decides what is handed out. It is shown beside the numbers and changes none of them."
        }
        D::Variety => "variety",
        D::Place => "place",
        D::Average => "average",
        D::Years => "of 20 years, short in",
        D::Stands => "stands",
        D::Why => "why",
        D::YourWord => "your word",
        D::WordHeading => "Your word on",
        D::WordNote => "note for growers",
        D::WordBy => "by",
        D::WordDate => "date",
        D::WordWrite => "write",
        D::WordChange => "change",
        D::WordNone => "leave it to the rules",
        D::WordSave => "write it down",
        D::WordLeave => "leave it as it was",
        D::RulesHeading => "Change the rules",
        D::RuleSeasons => "fewest seasons in this system",
        D::RuleTrials => "fewest trials in this system",
        D::RuleSince => "most seasons since its last trial",
        D::RuleMost => "most varieties on the list",
        D::RuleOrder => "first comes",
        D::RuleWater => "for the year",
        D::RuleCeiling => "poorest rating allowed",
        D::RuleNoCeiling => "any",
        D::ChangesHeading => "Since last year",
        D::ChangesIntro => {
            "Drop last year\u{2019}s page or pack among the files to see what changed, and what part of it the newer model has."
        }
        D::ChangesRunning => "Fitting last year\u{2019}s data with today\u{2019}s model\u{2026}",
        D::OffHeading => "Those off the list",
        D::ChangesFailed => {
            "Last year\u{2019}s data gave no answer: they were changed by hand, are damaged, or it was stopped."
        }
        D::ChangesNone => "Nothing changed.",
        D::ReportHeading => "Printed report",
        D::ReportButton => "put the report together",
        D::ReportPrint => "print it",
        D::ReportRunning => "Putting it together\u{2026}",
        D::Adjusted => "adjusted mean",
        D::SeasonsTrials => "tested",
        D::MethodHeading => "Method",
        D::LeftOutTrials => "Trials left out",
        D::SaveHeading => "7. Save",
        D::SaveIntro => {
            "The page is made of this page\u{2019}s own parts with your network inside. It opens anywhere, and can prepare the next one."
        }
        D::SavePage => "save the page",
        D::SaveSite => "save site.zip for a web server",
        D::SavePack => "save the pack for next year",
        D::SaveFolder => "save the files as they are now",
        D::Saving => "Putting it together\u{2026}",
        D::SaveFirst => "Fit first; then the page can be saved.",
        _ => return None,
    })
}

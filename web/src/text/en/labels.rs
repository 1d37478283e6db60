//! English: short fixed words, missing abilities, cautions.

use crate::text::Label;
use leanyear_engine::decide::Missing;
use leanyear_engine::link::LinkNotice;

/// The cautions, shown under every list.
pub(super) const CAUTIONS: [&str; 4] = [
    "These are odds, not a guarantee: your field will do better or worse.",
    "They come from trial ground, small plots well kept; yours differs.",
    "Follow the label of every product and the rules where you farm.",
    "Before a large decision, talk to a licensed adviser who knows your ground.",
];

pub(super) fn label(label: Label) -> &'static str {
    use Label::*;
    match label {
        Done => "Done",
        Yours => "Yours",
        ShowFewer => "show fewer",
        FindVariety => "find a variety",
        FindHint => "Type part of a name",
        NothingFound => "No variety of that name was tested here.",
        BackToList => "Back to all varieties",
        Night => "night",
        Light => "daylight",
        Share => "send",
        Numbers => "the numbers",
        Variety => "variety",
        Season => "season",
        Site => "site",
        Water => "water",
        AgainstTrial => "against that trial\u{2019}s average",
        NotCounted => "Trials that do not count",
        Reason => "why",
        Trait => "trait",
        Rating => "rating",
        Scale => "scale",
        Low => "poor end",
        High => "good end",
        Middle => "middle",
        Response => "What it makes of the water",
        NoResponse => "No water was recorded with these trials, so this picture cannot be drawn.",
        Ungrazed => "Without cattle: what they take of the grain is not in this.",
        InsuredAbovePrice => {
            "Insurance pays more for grain than the market. The first are picked by what they grow alone, so others may leave more."
        }
        HandoutMoney => "put price and cost in the code for a phone too",
        ResponseFlat => {
            "The water of this system\u{2019}s trials is too much alike or too little known, so this picture cannot be drawn."
        }
        EveryTrial => "Every trial it stood in",
        Ratings => "Diseases, straw, grain",
        Losses => "What diseases and pests would take",
        LossesIntro => "Of its yield, each by itself, if it struck hard and nothing was done about it:",
        LongRun => "Is it better in the long run?",
        WhereFrom => "Where this comes from",
        TrackHeading => "How often has this been right?",
        TrackIntro => "The page can check itself against the seasons that are over.",
        TrackButton => "check it now",
        TrackRunning => "Working through the past seasons\u{2026}",
        TrackFailed => "The check could not be finished on this device. Try again, or on a newer one.",
        TrackInside => "inside its range",
        TrackOutside => "outside it",
        TrackPromised => "16 of 20 were promised",
        PutAway => "put away",
        NewerData => "Newer trial data are here.",
        TakeNewer => "use them",
        KeptHere => "This device keeps the page: it opens without signal.",
        NoVarietyYet => "none of these",
        NoPlace => "not near any of these",
        LeaveToTrials => "leave it to the trials",
        WithoutIt => "leave it out",
        LikeAYear => "like a year you remember",
        LeansHeading => "or only lean one way",
        ShareHeading => "Send this",
        ShareLink => "The link holds your settings, nothing else.",
        ShareFromFile => {
            "This page was opened from a file, so it has no address to send. Send the file itself, and with it this line, to be put at the end of its address:"
        }
        ShareFromFileHome => "This page was opened from a file; the link leads to its address on the web.",
        ShareMoney => "put price and cost in it too",
        ShareMoneyHint => "Left out unless you tick this.",
        ShareCopy => "copy",
        ShareSend => "send\u{2026}",
        ShareSentence => "Or as a sentence",
        PrivacyHeading => "What stays here",
        Privacy => "Nothing you type leaves this phone unless you send it.",
        Forget => "forget what I chose on this device",
        MadeOfHeading => "Who made the parts of this page",
        MadeOfIntro => {
            "The page is made of these programs, given away by their authors on the terms below. The number behind each leads to its terms."
        }
        Invented => "Invented data: not for choosing a variety.",
        NoAnswer => "No trials answer this. Choose another system or site.",
        Broken => "The trial data inside this page cannot be read. Open a fresh copy of the page.",
        BrokenNewer => {
            "The trial data inside this page were made by a newer page than this one. Open the newer page."
        }
        Stale => "Still showing the last number that could be used.",
        MarksHeading => "Twenty years",
        Units => "units",
        UnitsYield => "Yield, and with it price, cost and land",
        UnitsWater => "Water",
        UnitsCurrency => "Currency sign",
        UnitsCurrencyHint => "Only the sign changes: type price and cost in your own money.",
        OtherUnits => "count in other units",
        ShareCodes => "Or hold it up to another phone",
        ShareCodeLink => "The link, for a phone with signal:",
        ShareCodeText => "Plain text, for a phone without signal:",
        ShareNoAddress => {
            "This page has no address on the web, so there is no link that a camera could open. Plain text works anywhere:"
        }
        ShareCodeTooLong => "The link is too long for a code. Send the line above.",
        SaveHeading => "Or keep it as a file",
        SaveIntro => "A file holds price and cost only if you ticked that further up.",
        SaveTable => "table for a spreadsheet (CSV)",
        SaveSvg => "picture to print or enlarge (SVG)",
        SavePng => "picture for a message (PNG)",
        CopyTable => "copy the table as text",
        HandoutOpen => "one page to print",
        HandoutHeading => "One page to print",
        HandoutPrint => "print it",
        HandoutIntro => {
            "One sheet of A4 or Letter. It shows the sentence as it stands, with price and cost; its codes hold them only if you tick this."
        }
        HandoutYours => "yours",
        HandoutCheck => "the check",
        HandoutClose => "also too close to call",
        HandoutNext => "Next in order",
        HandoutHome => "These settings on your own phone",
        HandoutText => "The same as text, no signal needed",
        ThirdsHeading => "or as a forecast puts it, in years of a hundred",
        ThirdsDry => "dry",
        ThirdsWet => "wet",
        OfHundred => "of 100",
        AxisMoney => "money on the axis",
        AxisYield => "yield on the axis",
        CostsHeading => "What is in it",
        MoreOnPrice => "If it can swing, and what it costs to sell",
        InsuranceHeading => "Yield insurance, if you have it",
        HaulHeading => "By the unit",
        DocksOpen => "docks for grain quality",
        DocksNone => "No grain quality is rated in these trials, so there is nothing to dock.",
        DocksUnknown => "not rated",
        HowWorked => "how this is worked out",
        Amount => "amount",
        AverageYear => "on average over the 20 years",
        CattleHeading => "Can it be grazed, and until when?",
        CattleCaution => {
            "First hollow stem differs by field and year: look for it on ungrazed plants. Keep to the grazing intervals on every label, and ask a veterinarian about bloat, grass tetany and nitrate before you turn cattle in."
        }
        OffBy => "cattle off by",
        WeekLate => "a week late costs",
        Recovers => "recovers",
        SpraysHeading => "Would a spray pay on it?",
        CompareHeading => "Side by side",
        CompareWith => "compare it with\u{2026}",
        CompareOpen => "two side by side",
        ChooseOthers => "choose others",
        ChooseTwo => "Choose two to four varieties.",
        AgainstMine => "Is it better than the one I grow?",
        FiveYears => {
            "Runs of five years: such a year first, then four as they come; amounts are by the year."
        }
        WhoWins => "Who is ahead, and by how much",
        TurnHeading => "What would turn it round",
        TurnIntro => "Choose what changes, then drag.",
        LossesBeside => "What each loses to diseases and pests",
        AcresOpen => "split my acres",
        AcresHeading => "Split the acres",
        AcresYours => "Your split",
        AcresSuggested => "The split that helps most",
        AcresUse => "start from this split",
        AcresAdd => "add a variety",
        AcresNone => {
            "None is suggested: no variety here has all of that and all that you need. Choose for yourself."
        }
        AcresWhole => "The whole farm, 20 such years",
        TargetFrom => "Without price and cost, short means less than two thirds of the usual yield.",
        AndMore => "and more",
        Must => "must",
        AcresThreats => "What one disease or pest could take, when severe",
        TakeOut => "take out",
        ChangeOpen => "what would change this?",
        ChangeFold => "fold it up",
        ChangeHeading => "What would change this",
        ChangeNobody => "No variety here may be named as the best, so nothing can be said.",
        WaterSpent => "Is the water better spent here?",
        NewcomerHeading => "A new one worth a strip",
    }
}

pub(super) fn missing(missing: &Missing) -> &'static str {
    match missing {
        Missing::LongClimate => {
            "No long water record of this ground came with the data: the years are drawn from the trial seasons alone, and a worse one may be missing."
        }
        Missing::Water => "No water was recorded: the page cannot assume a dry or a wet year.",
        Missing::Ratings => "No disease ratings came with the data: no disease can be assumed.",
        Missing::Pressure => "How hard diseases hit each trial was not recorded.",
        Missing::DiseaseLosses => {
            "What diseases take is not known here: they are in these numbers only as the trials had them."
        }
        Missing::ErrorVariances => {
            "The trials did not report their own error: a stated share of the scatter is taken as plot error."
        }
        Missing::DroughtLosses => {
            "No trial was reported lost to drought: the chance of a crop not worth cutting is a cautious guess."
        }
        Missing::Money => "Without price and cost, short means short of a yield, not of money.",
        Missing::SiteNames => "No list of sites came with the data: sites go by their codes.",
        Missing::VarietyNames => "No list of varieties came with the data: they go by their codes.",
        Missing::WaterSpread => {
            "The water of this system\u{2019}s trials is too much alike or too little known: a dry or a wet year changes no number here."
        }
        Missing::WaterSlope => {
            "In this system the trials do not show which varieties do better or worse when dry: all move together with the water."
        }
        Missing::AssumedSite => {
            "These trials cannot show how varieties change from place to place: the size usual in trials is assumed."
        }
        Missing::AssumedSeason => {
            "These trials cannot show how varieties change from season to season: the size usual in trials is assumed."
        }
        Missing::AssumedSystem => {
            "These trials cannot show how varieties change from one way of farming to another: the size usual in trials is assumed."
        }
    }
}

pub(super) fn notice(notice: &LinkNotice) -> String {
    let left_out = |key: &str, why: &str| {
        format!("In the link, \u{201c}{key}\u{201d} {why}; the usual setting stands instead.")
    };
    match notice {
        LinkNotice::OtherPack { .. } => {
            "The link was made with other trial data: the settings are the sender\u{2019}s, the numbers may differ.".into()
        }
        LinkNotice::VersionUnknown { .. } => {
            "The link was made by a newer page and nothing of it was used. Open a newer copy of this page.".into()
        }
        LinkNotice::TooLong { .. } => "The link is too long; its end was left out.".into(),
        LinkNotice::TooManyKeys { .. } => "The link holds too many settings; the last were left out.".into(),
        LinkNotice::KeyTwice { key } => format!("In the link, \u{201c}{key}\u{201d} stands twice; the first was used."),
        LinkNotice::KeyUnknown { key } => {
            format!("This page does not know \u{201c}{key}\u{201d} in the link; it was left out.")
        }
        LinkNotice::Unreadable { key } => left_out(key, "cannot be read"),
        LinkNotice::ValueMissing { key } => left_out(key, "is empty"),
        LinkNotice::NotANumber { key, text } | LinkNotice::NotFinite { key, text } => {
            left_out(key, &format!("is \u{201c}{text}\u{201d}, which is no number"))
        }
        LinkNotice::NotWhole { key, text } => left_out(key, &format!("is {text}, which is not a whole number")),
        LinkNotice::OutOfRange { key, text, low, high } => {
            left_out(key, &format!("is {text}, which is not from {low} to {high}"))
        }
        LinkNotice::WordUnknown { key, text } => left_out(key, &format!("is \u{201c}{text}\u{201d}, which it cannot be")),
        LinkNotice::CodeUnknown { key, text } => {
            left_out(key, &format!("is \u{201c}{text}\u{201d}, which is not among these trials"))
        }
        LinkNotice::YearUnknown { year } => {
            format!("No water of {year} is on record for this ground: the years are taken as they come.")
        }
        LinkNotice::KeptDamaged => {
            "What this page had kept of your settings could not be read in full: look through the sentence once more.".into()
        }
        LinkNotice::WaterUnknown => "No water is on record for this ground: the years are taken as they come.".into(),
        LinkNotice::CodeTwice { key, text } => {
            format!("In the link, \u{201c}{text}\u{201d} stands twice under \u{201c}{key}\u{201d}; it counts once.")
        }
        LinkNotice::ListTooLong { key, .. } => {
            format!("In the link, \u{201c}{key}\u{201d} names too many; the last were left out.")
        }
    }
}

"""The visitors' edition: pages made for visitors and kiosks, in their own words and languages."""

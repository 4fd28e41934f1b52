"""A thin, typed face over the general geometry libraries; it knows no wood."""

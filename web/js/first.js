// Runs before the page is drawn, so that a chosen theme never flashes the other one.
(() => {
  const theme = localStorage.getItem('tapeproof.theme');
  if (theme === 'light' || theme === 'dark') document.documentElement.dataset.theme = theme;
})();

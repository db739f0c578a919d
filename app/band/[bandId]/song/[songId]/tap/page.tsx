import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { NotYours } from '../../../../../band/NotYours';
import { TapPage } from '../../../../../tap/TapPage';
import { KeptPage } from '../../../../../ui/KeptPage';
import { Title } from '../../../../../ui/Title';

interface Props {
  readonly params: Promise<{ bandId: string; songId: string }>;
}

export default async function Tap({ params }: Props) {
  const { bandId, songId } = await params;
  const cookie = (await headers()).get('cookie');
  const result = await pageData().song(bandId, songId, cookie);
  if (!result.ok) return <NotYours problem={result.error} />;
  return (
    <>
      <Title of={`Tap in: ${result.value.song.title}`} />
      <TapPage songId={songId} initial={result.value} />
      <KeptPage />
    </>
  );
}
